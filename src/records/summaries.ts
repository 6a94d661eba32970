/**
 * The tables beside the facts: stock, and traced batches. They are only a summary, so nobody waits for them: facts are
 * synced first, and the tables follow right after, in steps of their own that need no sync (SQLite's write-ahead log keeps
 * the order: what is lost with the power is the end of it). Where they are behind, as after a kill or in the log of an
 * older bismar, they go on from the place up to which they know.
 */
import type { DatabaseSync } from 'node:sqlite';
import type { Fact } from '../facts/fact.ts';
import { factsByBatch, factsFrom, lastSeq, runsOf } from './factRows.ts';
import { StockIndex } from './stockIndex.ts';
import { lookAt, type StockLook } from './stockLook.ts';
import type { TraceLook } from './trace/look.ts';
import { TraceIndex } from './trace/traceIndex.ts';

/** Facts that are counted in one step at most; some tens of milliseconds. */
const STEP = 500;
/** Facts that wait for their step; more are counted at once. */
const MOST_WAITING = 1000;

/** What all facts up to a place come to. */
interface Counted<Look> {
  readonly last: number;
  readonly look: Look;
}

export class Summaries {
  readonly #db: DatabaseSync;
  readonly #writer: DatabaseSync | undefined;
  readonly #stock: StockIndex;
  readonly #trace: TraceIndex;
  #waiting: Fact[] = [];
  /** As counted last where the tables are behind: whoever only reads may ask for one lot after the other. */
  #countedStock: Counted<StockLook> | undefined;
  #countedTrace: Counted<TraceLook> | undefined;
  #soon: NodeJS.Immediate | undefined;

  /**
   * @param db where facts are read
   * @param writer a connection of their own to the same file, on which a commit is not synced; undefined where the log is
   *   only looked at
   */
  constructor(db: DatabaseSync, writer: DatabaseSync | undefined) {
    this.#db = db;
    this.#writer = writer;
    this.#stock = new StockIndex(writer ?? db);
    this.#trace = new TraceIndex(writer ?? db);
  }

  /** New facts are on the disk: they are counted as soon as nothing else is to be done. */
  changed(facts: readonly Fact[]): void {
    if (!this.#writer) return;
    this.#waiting.push(...facts);
    if (this.#waiting.length > MOST_WAITING) this.#tryStep();
    this.#later();
  }

  #later(): void {
    this.#soon ??= setImmediate(() => {
      this.#soon = undefined;
      if (this.#tryStep()) this.#later();
    });
  }

  /** @returns whether more is to be counted. Where it fails the facts are safe all the same, and the next one goes on */
  #tryStep(): boolean {
    try {
      const { done, all } = this.step();
      return done < all;
    } catch {
      this.#waiting = [];
      return false;
    }
  }

  /** Goes on by one step. @returns how far the tables know now, and how far the facts go; throws what SQLite throws */
  step(): { readonly done: number; readonly all: number } {
    let all = lastSeq(this.#db);
    const known = () => Math.min(this.#stock.upTo() ?? 0, this.#trace.upTo() ?? 0);
    if (this.#isUpTo(all)) return { done: all, all };
    this.#inTransaction(() => {
      all = lastSeq(this.#db); // another program may have written until now
      for (const index of [this.#stock, this.#trace])
        if ((index.upTo() ?? all + 1) > all || !index.isWhole()) index.begin();
      const from = known();
      const { facts, last } = this.#waitingBehind(from) ?? factsFrom(this.#db, from, STEP);
      for (const index of [this.#stock, this.#trace]) {
        const after = index.upTo() ?? 0;
        for (const run of runsOf(facts.filter(({ seq }) => seq > after))) index.follow(run);
        if (last > after) index.knowsUpTo(last);
      }
    });
    this.#waiting = [];
    return { done: known(), all };
  }

  /** Facts that wait, if they follow on this one without a gap (another program may have written too). */
  #waitingBehind(seq: number): { readonly facts: readonly Fact[]; readonly last: number } | undefined {
    const last = this.#waiting.at(-1)?.seq ?? 0;
    const follows = this.#waiting[0]?.seq === seq + 1 && last === seq + this.#waiting.length;
    return follows ? { facts: this.#waiting, last } : undefined;
  }

  #tryUpToDate(): void {
    while (this.#tryStep());
  }

  /** Makes them anew from all facts. Throws what SQLite throws. */
  rebuild(): void {
    this.#inTransaction(() => {
      const batches = factsByBatch(this.#db); // within, so that no other program adds facts that would never be counted
      this.#stock.rebuild(batches);
      this.#trace.rebuild(batches);
      for (const index of [this.#stock, this.#trace]) index.knowsUpTo(lastSeq(this.#db));
    });
    this.#waiting = [];
  }

  #inTransaction(work: () => void): void {
    if (!this.#writer) throw new Error('tables of a log that is only looked at');
    this.#writer.exec('BEGIN IMMEDIATE');
    try {
      work();
      this.#writer.exec('COMMIT');
    } catch (error) {
      if (this.#writer.isTransaction) this.#writer.exec('ROLLBACK');
      for (const index of [this.#stock, this.#trace]) index.forget();
      throw error;
    }
  }

  #isUpTo(seq: number): boolean {
    return [this.#stock, this.#trace].every((index) => index.upTo() === seq && (!this.#writer || index.isWhole()));
  }

  /** Stock as it is kept; counted first where it is behind and nothing may be written. */
  get stock(): StockLook {
    if (this.#writer) this.#tryUpToDate();
    const last = lastSeq(this.#db);
    if (this.#stock.upTo() === last) return this.#stock;
    const known = this.#countedStock?.last === last ? this.#countedStock.look : undefined;
    const look = known ?? lookAt(StockIndex.counted(factsByBatch(this.#db)));
    this.#countedStock = { last, look };
    return look;
  }

  /** Traced batches, in the same way. */
  get trace(): TraceLook {
    const kept = this.traceKept;
    if (kept) return kept;
    const last = lastSeq(this.#db);
    const known = this.#countedTrace?.last === last ? this.#countedTrace.look : undefined;
    const look = known ?? TraceIndex.counted(this.#db, factsByBatch(this.#db));
    this.#countedTrace = { last, look };
    return look;
  }

  /** Traced batches as they are kept; undefined where they are behind. */
  get traceKept(): TraceLook | undefined {
    if (this.#writer) this.#tryUpToDate();
    return this.#trace.upTo() === lastSeq(this.#db) ? this.#trace : undefined;
  }

  close(): void {
    clearImmediate(this.#soon);
    if (this.#waiting.length > 0) this.#tryStep();
    if (this.#writer?.isOpen) this.#writer.close();
  }
}
