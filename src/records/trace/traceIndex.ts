/** Traced batches as the log keeps them: brought up to date after each fact (see `summaries.ts`). */
import { DatabaseSync, type StatementSync } from 'node:sqlite';
import { apply, stateOf } from '../../facts/apply.ts';
import type { BatchState } from '../../facts/batchState.ts';
import { type Fact, SCALES, STOCK } from '../../facts/fact.ts';
import { readFact } from '../../facts/readFact.ts';
import { type FactsByBatch, factsOfBatch, lastSeq } from '../factRows.ts';
import type { LotName, TraceLook } from './look.ts';
import { hasAllTraceParts, hasTraceTables, makeTraceTables, TRACE_SCHEMA } from './tables.ts';
import { batchFrom, nameFrom, PUT_BATCH, PUT_USE, type Row, rowOfBatch, rowOfUse, useFrom } from './traceRows.ts';
import { type BatchTrace, matters, type TracedBatch, traceOfBatch, type Use } from './uses.ts';

const OF_LOT = `SELECT * FROM trace_uses WHERE lot = ? COLLATE NOCASE AND ingredient = ? ORDER BY batch, place`;
const BATCHES = 'SELECT t.* FROM json_each(?) b JOIN trace_batches t ON t.batch = b.value';
const LOTS_IN = `SELECT u.ingredient, u.lot, min(u.name) AS name, count(DISTINCT u.batch) AS batches
  FROM json_each(?) b JOIN trace_uses u ON u.batch = b.value
  WHERE u.fate IN ('in', 'may') GROUP BY u.ingredient, u.lot`;
const NAMED = `SELECT ingredient, lot FROM trace_uses WHERE lot = ?1 COLLATE NOCASE
  UNION SELECT ingredient, lot FROM trace_lots WHERE lot = ?1 COLLATE NOCASE
  UNION SELECT ingredient, lot FROM trace_lots WHERE supplier_lot = ?1 COLLATE NOCASE`;

/** A batch as it was written last. */
interface Recent {
  readonly batch: string;
  readonly facts: readonly Fact[];
  /** Neither for facts that belong to no batch. */
  readonly state: BatchState | undefined;
  readonly trace: BatchTrace | undefined;
}

export class TraceIndex implements TraceLook {
  readonly #db: DatabaseSync;
  readonly #facts: DatabaseSync;
  readonly #prepared = new Map<string, StatementSync>();
  /** The facts of the batch that was written last, so that they need not be read again with each. */
  #recent: Recent | undefined;
  #hasTables = false;
  #hasAll = false;

  /** @param db holds the tables @param facts holds the facts; the same, but where the tables are made in passing */
  constructor(db: DatabaseSync, facts = db) {
    this.#db = db;
    this.#facts = facts;
  }

  /** Traces all batches in memory. Changes nothing. @param facts holds the log @param batches all its facts */
  static counted(facts: DatabaseSync, batches: FactsByBatch): TraceIndex {
    const index = new TraceIndex(new DatabaseSync(':memory:'), facts);
    index.rebuild(batches);
    return index;
  }

  #sql(text: string): StatementSync {
    const known = this.#prepared.get(text) ?? this.#db.prepare(text);
    this.#prepared.set(text, known);
    return known;
  }

  /** Up to which fact the summary knows; undefined when there is none. */
  upTo(): number | undefined {
    this.#hasTables ||= hasTraceTables(this.#db);
    return this.#hasTables ? Number(this.#sql('SELECT seq FROM trace_upto').get()?.seq ?? 0) : undefined;
  }

  /** Whether nothing is missing, no index either. */
  isWhole(): boolean {
    this.#hasAll ||= hasAllTraceParts(this.#db);
    return this.#hasAll;
  }

  /** Makes the tables, without anything in them, or only what is missing beside them; within a transaction. */
  begin(): void {
    const isThere = hasTraceTables(this.#db) && !hasAllTraceParts(this.#db);
    makeTraceTables(this.#db);
    this.forget();
    if (isThere) return;
    this.#db.exec('DELETE FROM trace_uses; DELETE FROM trace_batches; DELETE FROM trace_lots; DELETE FROM trace_upto');
  }

  /** What was kept in mind may not be what stands in the tables: a transaction was given up. */
  forget(): void {
    this.#recent = undefined;
    this.#hasTables = false;
    this.#hasAll = false;
  }

  knowsUpTo(seq: number): void {
    this.#sql('INSERT OR REPLACE INTO trace_upto (one, seq) VALUES (1, ?)').run(seq);
  }

  /**
   * Traces more facts; within a transaction, which ends with `knowsUpTo`.
   * @param facts as stored, all that there are of one batch behind those traced before
   */
  follow(facts: readonly Fact[]): void {
    const first = facts[0];
    const last = facts.at(-1);
    if (!first || !last) return;
    for (const fact of facts) this.#putLot(fact);
    const { batch } = first;
    if (batch === STOCK || batch === SCALES) return;
    const known = this.#knownBefore(first);
    const earlier =
      known?.facts ?? (first.kind === 'batch-started' ? [] : factsOfBatch(this.#facts, batch, first.seq - 1));
    const all = [...earlier, ...facts];
    const state = known?.state ? facts.reduce(apply, known.state) : stateBy(all);
    const trace = known && !facts.some(matters) ? known.trace : this.#putTrace(batch, all, state, known?.trace);
    this.#recent = { batch, facts: all, state, trace };
  }

  /** Of the batch as it was written last, if no fact of it came in between (by another program). */
  #knownBefore({ batch, seq }: Fact): Recent | undefined {
    if (this.#recent?.batch !== batch) return undefined;
    const { last } =
      this.#facts.prepare('SELECT max(seq) AS last FROM facts WHERE batch = ? AND seq < ?').get(batch, seq) ?? {};
    return this.#recent.facts.at(-1)?.seq === last ? this.#recent : undefined;
  }

  /** @param before as it stands in the tables, where that is known */
  #putTrace(
    batch: string,
    facts: readonly Fact[],
    state = stateBy(facts),
    before?: BatchTrace,
  ): BatchTrace | undefined {
    const trace = state && traceOfBatch(facts, state);
    if (!trace) return undefined;
    const kept = before?.uses ?? this.usesOfBatch(batch);
    trace.uses.forEach((use, place) => {
      const known = kept[place];
      if (!known || !isSame(known, use)) this.#putUse(use, place);
    });
    if (kept.length > trace.uses.length) {
      this.#sql('DELETE FROM trace_uses WHERE batch = ? AND place >= ?').run(batch, trace.uses.length);
    }
    if (!before || JSON.stringify(before.batch) !== JSON.stringify(trace.batch)) this.#putBatch(trace.batch);
    return trace;
  }

  #putBatch(of: TracedBatch): void {
    this.#sql(PUT_BATCH).run(...rowOfBatch(of));
  }

  #putUse(use: Use, place: number): void {
    this.#sql(PUT_USE).run(...rowOfUse(use, place));
  }

  /** A delivery: its supplier's code, and the batch that it was made in. */
  #putLot(fact: Fact): void {
    if (fact.kind !== 'lot-received') return;
    const { ingredient, lot, supplierLot, madeIn, seq } = fact;
    this.#sql('INSERT OR REPLACE INTO trace_lots (ingredient, lot, supplier_lot, made_in) VALUES (?, ?, ?, ?)').run(
      ingredient,
      lot,
      supplierLot,
      madeIn ?? this.#makingNamed(ingredient, lot, seq),
    );
  }

  /** A stock may be entered by the name of its batch: that batch is of the formula of that name, and was begun before. */
  #makingNamed(ingredient: string, lot: string, before: number): string | null {
    const made = this.#facts
      .prepare(`SELECT body FROM facts WHERE batch = ? AND kind = 'batch-started' AND seq < ?`)
      .get(lot, before);
    const read = made ? readFact(String(made.body)) : undefined;
    if (!read?.ok || read.fact.kind !== 'batch-started') return null;
    return read.fact.plan.formula.id === ingredient ? lot : null;
  }

  /** Makes the summary anew; within a transaction, which ends with `knowsUpTo`. @param batches all facts */
  rebuild(batches: FactsByBatch): void {
    this.begin();
    for (const [batch, facts] of batches) {
      if (batch === STOCK) for (const fact of facts) this.#putLot(fact);
      else this.#putTrace(batch, facts);
    }
  }

  usesOfLot({ ingredient, lot }: LotName): Use[] {
    const rows = this.#sql(OF_LOT).all(lot, ingredient);
    return rows.filter((row) => row.lot === lot).map(useFrom);
  }

  usesOfBatch(batch: string): Use[] {
    return this.#sql('SELECT * FROM trace_uses WHERE batch = ? ORDER BY place').all(batch).map(useFrom);
  }

  lotsIn(batches: readonly string[]): ReturnType<TraceLook['lotsIn']> {
    const rows = this.#sql(LOTS_IN).all(JSON.stringify(batches));
    return rows.map((row) => ({ ...nameFrom(row), name: String(row.name), batches: Number(row.batches) }));
  }

  batch(id: string): TracedBatch | undefined {
    const row = this.#sql('SELECT * FROM trace_batches WHERE batch = ?').get(id);
    return row && batchFrom(row);
  }

  batches(ids: readonly string[]): ReadonlyMap<string, TracedBatch> {
    const rows = this.#sql(BATCHES).all(JSON.stringify(ids)).map(batchFrom);
    return new Map(rows.map((batch) => [batch.batch, batch]));
  }

  open(): string[] {
    return this.#sql(`SELECT batch FROM trace_batches WHERE status = 'open'`)
      .all()
      .map(({ batch }) => String(batch));
  }

  madeIn({ ingredient, lot }: LotName): string | null {
    const row = this.#sql('SELECT made_in FROM trace_lots WHERE ingredient = ? AND lot = ?').get(ingredient, lot);
    return typeof row?.made_in === 'string' ? row.made_in : null;
  }

  madeOf(batch: string): LotName[] {
    return this.#sql('SELECT ingredient, lot FROM trace_lots WHERE made_in = ? ORDER BY ingredient, lot')
      .all(batch)
      .map(nameFrom);
  }

  named(code: string): LotName[] {
    return this.#sql(NAMED).all(code).map(nameFrom);
  }

  /** Traces all and keeps nothing, to see whether it can be. @throws RangeError past 2^53 micrograms */
  countAll(batches: FactsByBatch): void {
    TraceIndex.counted(this.#facts, batches).#db.close();
  }

  /**
   * Where the summary is not what the facts come to: sentences. None where there is no summary, or it is behind.
   * @param batches all facts
   */
  faults(batches: FactsByBatch): string[] {
    const last = lastSeq(this.#facts);
    if (this.upTo() !== last) return []; // it goes on, or is made anew, with the next fact
    const due = TraceIndex.counted(this.#facts, batches);
    due.knowsUpTo(last);
    const faults: string[] = [];
    for (const table of Object.keys(TRACE_SCHEMA)) {
      if (!/^CREATE TABLE/.test(TRACE_SCHEMA[table] ?? '')) continue;
      const all = `SELECT * FROM ${table}`;
      const different = firstDifference(this.#sql(all).iterate(), due.#sql(all).iterate());
      if (different) faults.push(`what is kept traced of ${different} is not what the facts come to`);
    }
    due.#db.close();
    return faults;
  }
}

function stateBy(facts: readonly Fact[]): BatchState | undefined {
  return facts[0]?.kind === 'batch-started' ? stateOf(facts) : undefined;
}

/** The name of the first row that is not the same in both; undefined when there is none. */
function firstDifference(kept: Iterator<Row>, due: Iterator<Row>): string | undefined {
  for (;;) {
    const [mine, other] = [kept.next(), due.next()];
    if (mine.done && other.done) return undefined;
    if (!mine.done && !other.done && JSON.stringify(mine.value) === JSON.stringify(other.value)) continue;
    const row: Row = other.done ? mine.value : other.value;
    return 'batch' in row ? `batch ${row.batch}` : 'lot' in row ? `lot ${row.lot}` : 'the batches';
  }
}

function isSame(a: Use, b: Use): boolean {
  return (Object.keys(a) as (keyof Use)[]).every((key) => a[key] === b[key]);
}
