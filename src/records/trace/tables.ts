/**
 * The tables that keep batches traced, in the log's own file, beside the facts. They are only a summary: they can be made
 * anew from the facts at any time, and `verify` compares the two.
 */
import type { DatabaseSync } from 'node:sqlite';

/** Everything that the file defines for tracing; a log of an older bismar has none of it. */
export const TRACE_SCHEMA: Readonly<Record<string, string>> = {
  trace_batches: `CREATE TABLE trace_batches (
  batch TEXT PRIMARY KEY,
  formula TEXT NOT NULL,
  name TEXT NOT NULL,
  version TEXT NOT NULL,
  mass INTEGER NOT NULL,
  bars INTEGER,
  bars_made INTEGER,
  bars_beside INTEGER NOT NULL,
  left_over TEXT NOT NULL,
  status TEXT NOT NULL,
  started TEXT NOT NULL,
  ended TEXT,
  corrections TEXT NOT NULL
) STRICT, WITHOUT ROWID`,
  trace_open: `CREATE INDEX trace_open ON trace_batches (batch) WHERE status = 'open'`,
  trace_uses: `CREATE TABLE trace_uses (
  batch TEXT NOT NULL,
  place INTEGER NOT NULL,
  ingredient TEXT NOT NULL,
  lot TEXT NOT NULL,
  name TEXT NOT NULL,
  draw TEXT NOT NULL,
  fate TEXT NOT NULL,
  doubtful TEXT,
  taken INTEGER NOT NULL,
  inside INTEGER,
  doubt INTEGER,
  label_read INTEGER NOT NULL,
  PRIMARY KEY (batch, place)
) STRICT, WITHOUT ROWID`,
  trace_uses_by_lot: 'CREATE INDEX trace_uses_by_lot ON trace_uses (lot COLLATE NOCASE, ingredient)',
  trace_lots: `CREATE TABLE trace_lots (
  ingredient TEXT NOT NULL,
  lot TEXT NOT NULL,
  supplier_lot TEXT,
  made_in TEXT,
  PRIMARY KEY (ingredient, lot)
) STRICT, WITHOUT ROWID`,
  trace_lots_by_code: 'CREATE INDEX trace_lots_by_code ON trace_lots (lot COLLATE NOCASE)',
  trace_lots_by_supplier: 'CREATE INDEX trace_lots_by_supplier ON trace_lots (supplier_lot COLLATE NOCASE)',
  trace_lots_by_making: 'CREATE INDEX trace_lots_by_making ON trace_lots (made_in)',
  trace_upto: 'CREATE TABLE trace_upto (one INTEGER PRIMARY KEY CHECK (one = 1), seq INTEGER NOT NULL) STRICT',
};

/** Definitions that tables had before: they are made anew with the next fact, and are no damage until then. */
export const EARLIER_TRACE_SHAPES: Readonly<Record<string, readonly (string | undefined)[]>> = {
  trace_batches: [TRACE_SCHEMA.trace_batches?.replace('  left_over TEXT NOT NULL,\n', '')],
};

/** Names that SQLite makes by itself for them. */
export function isTracePart(name: unknown): boolean {
  return typeof name === 'string' && /^sqlite_autoindex_trace_/.test(name);
}

/** Parts that the file has, with their definitions. */
function found(db: DatabaseSync): Map<unknown, unknown> {
  const parts = db.prepare(`SELECT name, sql FROM sqlite_schema WHERE name LIKE 'trace@_%' ESCAPE '@'`).all();
  return new Map(parts.map(({ name, sql }) => [name, sql]));
}

const isTable = (sql: unknown): boolean => /^CREATE TABLE/.test(String(sql));

/** Whether all of them are there, as this bismar defines them; an index may be missing. */
export function hasTraceTables(db: DatabaseSync): boolean {
  const parts = found(db);
  return Object.entries(TRACE_SCHEMA).every(
    ([name, sql]) => parts.get(name) === sql || (!isTable(sql) && !parts.has(name)),
  );
}

export function hasAllTraceParts(db: DatabaseSync): boolean {
  const parts = found(db);
  return Object.entries(TRACE_SCHEMA).every(([name, sql]) => parts.get(name) === sql);
}

/** Makes what is missing, and tables of another shape anew, empty; to be called within a transaction. */
export function makeTraceTables(db: DatabaseSync): void {
  if (!hasTraceTables(db)) for (const [name, sql] of found(db)) if (isTable(sql)) db.exec(`DROP TABLE "${name}"`);
  const parts = found(db);
  for (const [name, sql] of Object.entries(TRACE_SCHEMA)) if (!parts.has(name)) db.exec(sql);
}
