/** Batches as a list: all, or only those that are asked for, so that nobody goes through years for one. */
import type { DatabaseSync, SQLInputValue } from 'node:sqlite';
import { damagedFact, troubleOf } from './logTrouble.ts';

/** One batch of the log, for a list. */
export interface BatchEntry {
  readonly id: string;
  readonly formula: { readonly id: string; readonly name: string; readonly version: string };
  readonly started: string;
  /** When it was finished or abandoned; null while it is open. */
  readonly ended: string | null;
  readonly status: 'open' | 'finished' | 'abandoned';
  /** Who began it. */
  readonly operator: string;
}

const ALL = `SELECT s.batch AS id, s.at AS started, s."by" AS operator, s.seq AS seq,
    iif(json_valid(s.body), s.body ->> '$.plan.formula.id', NULL) AS formula,
    iif(json_valid(s.body), s.body ->> '$.plan.formula.name', NULL) AS name,
    iif(json_valid(s.body), s.body ->> '$.plan.formula.version', NULL) AS version, e.kind AS ended, e.at AS endedAt
  FROM facts s LEFT JOIN facts e ON e.seq =
    (SELECT min(seq) FROM facts WHERE batch = s.batch AND kind IN ('finished', 'abandoned'))
  WHERE s.kind = 'batch-started'`;
/** From the end of the log on, so that a long history is not gone through. */
const FROM_END = ALL.replace('facts s', 'facts s NOT INDEXED');
const LIST = `${ALL} ORDER BY s.seq`;
const ONE = `${ALL} AND s.batch = ?`;
const BEGINNING = `${ALL} AND s.batch >= ? AND s.batch < ? ORDER BY s.seq`;
const IDS = `SELECT batch AS id FROM facts WHERE kind = 'batch-started' ORDER BY batch`;
const NEWEST = `${FROM_END} ORDER BY s.seq DESC LIMIT ?`;
const LAST_FINISHED = `${FROM_END} AND e.kind = 'finished' ORDER BY s.seq DESC LIMIT 1`;
const WITH_BARS = `SELECT t.batch AS id FROM trace_batches t
  JOIN facts s ON s.batch = t.batch AND s.kind = 'batch-started'
  WHERE t.formula = ? AND t.bars_made IS NOT NULL ORDER BY s.seq DESC LIMIT ?`;

/** No text goes on behind a name with this. */
const BEHIND_ALL = '\u{10ffff}';

export class BatchList {
  readonly #file: string;
  readonly #db: DatabaseSync;
  readonly #openKept: () => readonly string[] | undefined;

  /** @param openKept the open batches, as the tables beside the facts have them; undefined where they are behind */
  constructor(file: string, db: DatabaseSync, openKept: () => readonly string[] | undefined) {
    this.#file = file;
    this.#db = db;
    this.#openKept = openKept;
  }

  /** All, in the order in which they were begun. @throws LogTrouble */
  all(): BatchEntry[] {
    return this.#entries(LIST);
  }

  /** Those that were neither finished nor ended for good, as `all` has them; without a look at all others. */
  open(): BatchEntry[] {
    return this.#read(() => {
      const open = this.#openKept();
      if (!open) return this.all().filter(({ status }) => status === 'open');
      const one = this.#db.prepare(ONE);
      const rows = open.map((batch) => one.get(batch)).filter((row) => row !== undefined);
      rows.sort((a, b) => Number(a.seq) - Number(b.seq));
      return rows.map((row) => entryOf(this.#file, row));
    });
  }

  /** The finished batch that was begun last. @throws LogTrouble */
  lastFinished(): BatchEntry | undefined {
    return this.#entries(LAST_FINISHED)[0];
  }

  /** The newest so many, in the order in which they were begun. @throws LogTrouble */
  newest(most: number): BatchEntry[] {
    return this.#entries(NEWEST, most).reverse();
  }

  /** @param id the whole of it. @throws LogTrouble */
  one(id: string): BatchEntry | undefined {
    return this.#entries(ONE, id)[0];
  }

  /** The ids of all, in the order of their names; they stand in an index, and no batch is looked at. @throws LogTrouble */
  ids(): string[] {
    return this.#read(() =>
      this.#db
        .prepare(IDS)
        .all()
        .map(({ id }) => String(id)),
    );
  }

  /** Those whose ids begin so, in the order in which they were begun. @throws LogTrouble */
  beginningWith(text: string): BatchEntry[] {
    return this.#entries(BEGINNING, text, `${text}${BEHIND_ALL}`);
  }

  /** Those of a formula of which bars were weighed, the newest first, at most so many; their ids. @throws LogTrouble */
  withBars(formula: string, most: number): string[] {
    return this.#read(() => {
      if (this.#openKept())
        return this.#db
          .prepare(WITH_BARS)
          .all(formula, most)
          .map(({ id }) => String(id));
      const started = this.#db.prepare(`SELECT 1 FROM facts WHERE batch = ? AND kind = 'portioning-started' LIMIT 1`);
      const isOne = (each: BatchEntry) => each.formula.id === formula && started.get(each.id) !== undefined;
      return this.all()
        .filter(isOne)
        .slice(-most)
        .reverse()
        .map(({ id }) => id);
    });
  }

  #entries(sql: string, ...values: SQLInputValue[]): BatchEntry[] {
    return this.#read(() =>
      this.#db
        .prepare(sql)
        .all(...values)
        .map((row) => entryOf(this.#file, row)),
    );
  }

  #read<T>(work: () => T): T {
    try {
      return work();
    } catch (error) {
      throw troubleOf(error, this.#file, 'read');
    }
  }
}

function entryOf(file: string, row: Readonly<Record<string, unknown>>): BatchEntry {
  const { id, formula, name, version, started, operator, ended, endedAt } = row;
  const text = (value: unknown): string => {
    if (typeof value !== 'string') throw damagedFact(file, row.seq, ['it does not tell its formula']);
    return value;
  };
  return {
    id: text(id),
    formula: { id: text(formula), name: text(name), version: text(version) },
    started: text(started),
    ended: endedAt === null ? null : text(endedAt),
    status: ended === 'finished' || ended === 'abandoned' ? ended : 'open',
    operator: text(operator),
  };
}
