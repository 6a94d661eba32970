/**
 * The tables that keep stock counted, in the log's own file, beside the facts. They are only a summary: they can be made
 * anew from the facts at any time, and `verify` compares the two. They are kept so that a look at stock stays as short
 * however long the log has grown.
 */
import type { DatabaseSync } from 'node:sqlite';

/** Everything that the file defines for stock; a log of an older bismar has none of it. */
export const STOCK_SCHEMA: Readonly<Record<string, string>> = {
  stock_moves: `CREATE TABLE stock_moves (
  seq INTEGER PRIMARY KEY,
  batch TEXT NOT NULL,
  ingredient TEXT NOT NULL,
  lot TEXT NOT NULL,
  change INTEGER NOT NULL,
  used INTEGER NOT NULL,
  ends INTEGER NOT NULL
) STRICT`,
  stock_moves_by_lot: 'CREATE INDEX stock_moves_by_lot ON stock_moves (ingredient, lot, seq)',
  stock_moves_by_batch: 'CREATE INDEX stock_moves_by_batch ON stock_moves (batch, seq)',
  stock_lots: `CREATE TABLE stock_lots (
  ingredient TEXT NOT NULL,
  lot TEXT NOT NULL,
  counted INTEGER NOT NULL,
  balance INTEGER NOT NULL,
  used INTEGER NOT NULL,
  gone INTEGER NOT NULL,
  blocked TEXT,
  received TEXT,
  PRIMARY KEY (ingredient, lot)
) STRICT`,
  stock_there: 'CREATE INDEX stock_there ON stock_lots (ingredient) WHERE gone = 0',
  stock_upto: 'CREATE TABLE stock_upto (one INTEGER PRIMARY KEY CHECK (one = 1), seq INTEGER NOT NULL) STRICT',
};

/** Names that SQLite makes by itself for them. */
export function isStockPart(name: unknown): boolean {
  return typeof name === 'string' && /^sqlite_autoindex_stock_/.test(name);
}

/** The file's definitions for stock that are missing, or other than they should be. */
function missing(db: DatabaseSync): string[] {
  const found = new Set(
    db
      .prepare(`SELECT name FROM sqlite_schema WHERE name LIKE 'stock@_%' ESCAPE '@'`)
      .all()
      .map(({ name }) => name),
  );
  return Object.keys(STOCK_SCHEMA).filter((name) => !found.has(name));
}

export function hasStockTables(db: DatabaseSync): boolean {
  return missing(db).length === 0;
}

/** Makes what is missing; to be called within a transaction. */
export function makeStockTables(db: DatabaseSync): void {
  for (const name of missing(db)) db.exec(STOCK_SCHEMA[name] ?? '');
}
