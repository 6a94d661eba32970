/** Stock as the log keeps it counted: brought up to date after each fact (see `summaries.ts`). */
import type { DatabaseSync, StatementSync } from 'node:sqlite';
import type { Fact, LotReceived } from '../facts/fact.ts';
import { type Mass, mass } from '../mass/mass.ts';
import { type Counted, countStock, isBlank, isGone, type LotStock, lotKey, noStock, noted } from '../stock/lotStock.ts';
import { holdingOf, type Move, moved, moveOf, movesOf, needsItsBatch } from '../stock/moves.ts';
import { type FactsByBatch, factsOfBatch, lastSeq } from './factRows.ts';
import { hasStockTables, makeStockTables } from './stockTables.ts';

type Row = Readonly<Record<string, unknown>>;

const LOT = 'SELECT * FROM stock_lots WHERE ingredient = ? AND lot = ?';
const THERE = 'SELECT * FROM stock_lots WHERE ingredient = ? AND gone = 0 ORDER BY lot';
const ALL_THERE = 'SELECT * FROM stock_lots WHERE gone = 0 ORDER BY ingredient, lot';
const PUT_LOT = `INSERT OR REPLACE INTO stock_lots (ingredient, lot, counted, balance, used, gone, blocked, received)
  VALUES (?, ?, ?, ?, ?, ?, ?, ?)`;
const PUT_MOVE = `INSERT OR REPLACE INTO stock_moves (seq, batch, ingredient, lot, change, used, ends)
  VALUES (?, ?, ?, ?, ?, ?, ?)`;

export class StockIndex {
  readonly #db: DatabaseSync;
  readonly #prepared = new Map<string, StatementSync>();
  /** Lots that were changed within this transaction, and are not written yet: a lot is taken from again and again. */
  readonly #changed = new Map<string, LotStock>();
  #hasTables = false;

  constructor(db: DatabaseSync) {
    this.#db = db;
  }

  #sql(text: string): StatementSync {
    const known = this.#prepared.get(text) ?? this.#db.prepare(text);
    this.#prepared.set(text, known);
    return known;
  }

  /** Stock counted from all facts, the slow way. */
  static counted(batches: FactsByBatch): Counted {
    return countStock(batches);
  }

  /** Up to which fact the summary knows; undefined when there is none. */
  upTo(): number | undefined {
    this.#hasTables ||= hasStockTables(this.#db);
    return this.#hasTables ? Number(this.#sql('SELECT seq FROM stock_upto').get()?.seq ?? 0) : undefined;
  }

  isWhole(): boolean {
    return this.upTo() !== undefined;
  }

  /** Makes the tables, without anything in them; within a transaction. */
  begin(): void {
    this.forget();
    makeStockTables(this.#db);
    this.#db.exec('DELETE FROM stock_moves; DELETE FROM stock_lots; DELETE FROM stock_upto');
  }

  /** Writes what was counted; at the end of the transaction. */
  knowsUpTo(seq: number): void {
    for (const stock of this.#changed.values()) this.#putLot(stock);
    this.#changed.clear();
    this.#sql('INSERT OR REPLACE INTO stock_upto (one, seq) VALUES (1, ?)').run(seq);
  }

  /** The transaction was given up, and with it what it may have made. */
  forget(): void {
    this.#changed.clear();
    this.#hasTables = false;
  }

  #change(stock: LotStock): void {
    this.#changed.set(lotKey(stock.ingredient, stock.lot), stock);
  }

  /**
   * Counts more facts; within a transaction, which ends with `knowsUpTo`.
   * @param facts as stored, all that there are of one batch behind those counted before
   */
  follow(facts: readonly Fact[]): void {
    const first = facts[0];
    const last = facts.at(-1);
    if (!first || !last) return;
    for (const fact of facts) {
      const move = moveOf(fact);
      if (move) this.#addMove(fact.batch, move);
      if ('lot' in fact && 'ingredient' in fact) this.#note(fact);
    }
    if (facts.some(needsItsBatch)) this.#recountBatch(factsOfBatch(this.#db, first.batch, last.seq), first.batch);
  }

  #addMove(batch: string, move: Move): void {
    this.#putMove(batch, move);
    const stock = this.lot(move.ingredient, move.lot);
    this.#change({ ...stock, holding: moved(stock.holding, move) });
  }

  #note(fact: Extract<Fact, { ingredient: string; lot: string }>): void {
    const stock = this.lot(fact.ingredient, fact.lot);
    const next = noted(stock, fact);
    if (next !== stock) this.#change(next);
  }

  /** What a batch moved, counted anew from its facts: something was taken back or thrown away. */
  #recountBatch(facts: readonly Fact[], batch: string): void {
    const due = new Map(movesOf(facts).map((move) => [move.seq, move]));
    const touched = new Map<string, readonly [string, string]>();
    const touch = ({ ingredient, lot }: { ingredient: string; lot: string }) =>
      touched.set(lotKey(ingredient, lot), [ingredient, lot]);
    for (const row of this.#sql('SELECT * FROM stock_moves WHERE batch = ?').all(batch)) {
      const move = moveFrom(row);
      if (!due.delete(move.seq)) {
        this.#sql('DELETE FROM stock_moves WHERE seq = ?').run(move.seq);
        touch(move);
      }
    }
    for (const move of due.values()) {
      this.#putMove(batch, move);
      touch(move);
    }
    for (const [ingredient, lot] of touched.values()) {
      this.#change({ ...this.lot(ingredient, lot), holding: holdingOf(this.#movesOfLot(ingredient, lot)) });
    }
  }

  #movesOfLot(ingredient: string, lot: string): (Move & { batch: unknown })[] {
    return this.#sql('SELECT * FROM stock_moves WHERE ingredient = ? AND lot = ? ORDER BY seq')
      .all(ingredient, lot)
      .map((row) => ({ ...moveFrom(row), batch: row.batch }));
  }

  #putMove(batch: string, { seq, ingredient, lot, change, used, ends }: Move): void {
    this.#sql(PUT_MOVE).run(seq, batch, ingredient, lot, change, used, ends ? 1 : 0);
  }

  #putLot(stock: LotStock): void {
    const { ingredient, lot, holding, blocked, received } = stock;
    if (isBlank(stock)) {
      this.#sql('DELETE FROM stock_lots WHERE ingredient = ? AND lot = ?').run(ingredient, lot);
      return;
    }
    this.#sql(PUT_LOT).run(
      ingredient,
      lot,
      holding.counted ? 1 : 0,
      holding.balance,
      holding.used,
      isGone(stock) ? 1 : 0,
      blocked,
      received === null ? null : JSON.stringify(received),
    );
  }

  /** One lot; as if untouched when no fact names it. */
  lot(ingredient: string, lot: string): LotStock {
    const changed = this.#changed.get(lotKey(ingredient, lot));
    if (changed) return changed;
    const row = this.#sql(LOT).get(ingredient, lot);
    return row ? lotFrom(row) : noStock(ingredient, lot);
  }

  /** Lots that facts know of and that are not used up, of one ingredient or of all. */
  there(ingredient?: string): LotStock[] {
    const rows = ingredient === undefined ? this.#sql(ALL_THERE).all() : this.#sql(THERE).all(ingredient);
    return rows.map(lotFrom);
  }

  /** All lots that facts know of, those used up too. */
  all(): LotStock[] {
    return this.#sql('SELECT * FROM stock_lots ORDER BY ingredient, lot').all().map(lotFrom);
  }

  /** All that came and went of a lot, in order. */
  moves(ingredient: string, lot: string): (Move & { batch: string })[] {
    return this.#movesOfLot(ingredient, lot).map((move) => ({ ...move, batch: String(move.batch) }));
  }

  /** A lot as it was before a batch took from it (and without anything that batch did). */
  without(batch: string, ingredient: string, lot: string): LotStock {
    const others = this.#movesOfLot(ingredient, lot).filter((move) => move.batch !== batch);
    return { ...this.lot(ingredient, lot), holding: holdingOf(others) };
  }

  /** Makes the summary anew; within a transaction, which ends with `knowsUpTo`. @param batches all facts */
  rebuild(batches: FactsByBatch): void {
    this.begin();
    const { lots, moves } = countStock(batches);
    for (const move of moves) this.#putMove(move.batch, move);
    for (const stock of lots.values()) this.#putLot(stock);
  }

  /** Counts all and keeps nothing, to see whether it can be. @throws RangeError past 2^53 micrograms */
  countAll(batches: FactsByBatch): void {
    countStock(batches);
  }

  /**
   * Where the summary is not what the facts come to: sentences. None where there is no summary, or it is behind.
   * @param batches all facts
   */
  faults(batches: FactsByBatch): string[] {
    if (this.upTo() !== lastSeq(this.#db)) return []; // it goes on, or is made anew, with the next fact
    const { lots, moves } = countStock(batches);
    const faults: string[] = [];
    const kept = new Map(this.all().map((stock) => [lotKey(stock.ingredient, stock.lot), stock]));
    for (const key of new Set([...lots.keys(), ...kept.keys()])) {
      const [mine, due] = [kept.get(key), lots.get(key)];
      if (mine && due && sameText(mine) === sameText(due)) continue;
      const { ingredient, lot } = (due ?? mine) as LotStock;
      faults.push(`the stock that is kept counted of ${ingredient}, lot ${lot}, is not what the facts come to`);
    }
    const stored = this.#sql('SELECT * FROM stock_moves ORDER BY seq').all().map(moveFrom);
    const same = stored.length === moves.length && stored.every((move, at) => isSameMove(move, moves[at]));
    if (!same && faults.length === 0) faults.push('what moved in stock, as it is kept, is not what the facts tell');
    return faults;
  }
}

function sameText({ ingredient, lot, holding, blocked, received }: LotStock): string {
  const { counted, balance, used } = holding;
  const papers = received && [
    received.amount,
    received.pricePerKg,
    received.expires,
    received.supplierLot,
    received.certificate,
    received.jar,
  ];
  return JSON.stringify([ingredient, lot, counted, balance, used, blocked, papers]);
}

function isSameMove(a: Move, b: Move | undefined): boolean {
  return b !== undefined && JSON.stringify(moveText(a)) === JSON.stringify(moveText(b));
}

function moveText({ seq, ingredient, lot, change, used, ends }: Move) {
  return [seq, ingredient, lot, change, used, ends];
}

function moveFrom(row: Row): Move {
  const { seq, ingredient, lot, change, used, ends } = row;
  return {
    seq: Number(seq),
    ingredient: String(ingredient),
    lot: String(lot),
    change: massFrom(change),
    used: massFrom(used),
    ends: ends === 1,
  };
}

function lotFrom(row: Row): LotStock {
  const { ingredient, lot, counted, balance, used, blocked, received } = row;
  return {
    ingredient: String(ingredient),
    lot: String(lot),
    holding: { counted: counted === 1, balance: massFrom(balance), used: massFrom(used) },
    blocked: typeof blocked === 'string' ? blocked : null,
    received: typeof received === 'string' ? (JSON.parse(received) as LotReceived) : null,
  };
}

function massFrom(value: unknown): Mass {
  return mass(Number(value));
}
