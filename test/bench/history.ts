/**
 * What a maker waits for after years, against a first week: a batch begun, a record, its page, and a trace, in
 * logs of 10, 1,000 and 10,000 batches x 15 draws. Each stands beside one row looked up by its key in the same file.
 */
import { DatabaseSync } from 'node:sqlite';
import { fileURLToPath } from 'node:url';
import { build } from 'esbuild';
import { type BatchLog, openLog } from '../../src/records/batchLog.ts';
import { earlierPours, LOOK_BACK_FACTS } from '../../src/records/earlierPours.ts';
import { batchRecord } from '../../src/records/record/batchRecord.ts';
import { recordJson } from '../../src/records/record/recordJson.ts';
import { batchMeant } from '../../src/records/resolveBatch.ts';
import type { LotName } from '../../src/records/trace/look.ts';
import { type LotDesk, NO_PAPERS, reportLot } from '../../src/records/trace/report.ts';
import { type Figures, figure, median } from './figures.ts';
import { DRAWS, idOf, LASTS, type LongHistory, lotOf, makeLongHistory, STOCK_EVERY } from './longHistory.ts';

const SIZES = [10, 1_000, 10_000] as const;
const LOOKS = 40;
/** Asked before anything is timed. */
const WARM_UP = 5;

const desk: LotDesk = {
  nameOf: () => undefined,
  papersOf: () => NO_PAPERS,
  mixturesOf: () => [],
  isMixed: () => false,
};

const WHAT = {
  start: 'what `weigh` asks of the log before it begins: open batches, a new name, and how earlier pours went',
  found: 'the newest batch and one by its whole name, as `record`, `label`, `note` and others find it',
  record_json: 'a record as JSON',
  record_page: 'a record as a page',
  trace: 'a lot traced that is in up to 50 batches, with all else in them',
} as const;
type Asked = keyof typeof WHAT;

type RecordHtml = typeof import('../../src/records/record/recordHtml.tsx').recordHtml;

/** Node runs no JSX: the page's part of the program, built as for use. */
async function pageMaker(): Promise<RecordHtml> {
  const place = (path: string) => fileURLToPath(new URL(path, import.meta.url));
  const outfile = place('../../dist/bench/recordHtml.mjs');
  const entryPoints = [place('../../src/records/record/recordHtml.tsx')];
  await build({
    entryPoints,
    outfile,
    bundle: true,
    packages: 'external',
    platform: 'node',
    format: 'esm',
    jsx: 'automatic',
  });
  process.env.NODE_ENV = 'production';
  return (await import(outfile)).recordHtml;
}

/** One log, and what is asked of it. */
class Looked {
  readonly #history: LongHistory;
  readonly #page: RecordHtml;
  readonly #log: BatchLog;
  readonly #bare: DatabaseSync;
  readonly #row;
  readonly times: Record<Asked | 'row' | 'large', number[]> = {
    start: [],
    found: [],
    record_json: [],
    record_page: [],
    trace: [],
    row: [],
    large: [],
  };

  constructor(history: LongHistory, page: RecordHtml) {
    this.#page = page;
    this.#history = history;
    this.#log = openLog(history.file, { readOnly: true });
    this.#bare = new DatabaseSync(history.file, { readOnly: true });
    this.#row = this.#bare.prepare('SELECT * FROM trace_uses WHERE batch = ? AND place = ?');
  }

  get batches(): number {
    return this.#history.batches;
  }

  /** Asks all once; each time of another batch and another lot. */
  look(number: number): void {
    // Away from the batches that a stock is made in: what is in those is in all batches that draw from it.
    const at = (Math.abs(number) * STOCK_EVERY + 2 * LASTS) % this.batches;
    const id = idOf(Math.min(at, this.batches - 2));
    const record = () => batchRecord(this.#log.facts(id), this.#log.seal(id));
    this.#timed('row', number, () => (this.#row.get(id, 3) ? 1 : 0), 1);
    this.#timed('start', number, () => this.#start(), 1);
    this.#timed('found', number, () => this.#found(id), 2);
    this.#timed('record_json', number, () => Math.sign(recordJson(record()).length), 1);
    this.#timed('record_page', number, () => Math.sign(this.#page(record()).length), 1);
    this.#timed(
      'trace',
      number,
      () => this.#trace(lotOf(Math.abs(number) % (DRAWS - 1), at)),
      Math.min(LASTS, this.batches),
    );
    if (number < 0 || number >= 10 || this.batches < 10 * STOCK_EVERY) return;
    const stock = { ingredient: 'stock', lot: `stock-${number * STOCK_EVERY}` };
    this.#timed('large', number, () => this.#trace(stock), STOCK_EVERY - 1);
  }

  #start(): number {
    const [open] = this.#log.openBatches();
    this.#log.newBatchId();
    const ingredients = Array.from({ length: DRAWS - 1 }, (_, at) => lotOf(at, 0).ingredient);
    const { pours } = earlierPours(this.#log, LOOK_BACK_FACTS, { scales: ['bench'], ingredients });
    return open && Object.keys(pours).length >= DRAWS ? 1 : 0;
  }

  #found(id: string): number {
    return [undefined, id].filter((wanted) => batchMeant(this.#log, wanted).ok).length;
  }

  #trace(lot: LotName): number {
    return this.#log.traced((look) => reportLot(look, desk, lot)).batches.length;
  }

  #timed(name: keyof Looked['times'], number: number, work: () => number, due: number): void {
    const begin = performance.now();
    const found = work();
    if (number >= 0) this.times[name].push(performance.now() - begin);
    if (found !== due) throw new Error(`${name}: ${found} found in place of ${due}`);
  }

  close(): void {
    this.#log.close();
    this.#bare.close();
    this.#history.remove();
  }
}

export async function historyFigures(): Promise<Figures> {
  const logs: Looked[] = [];
  try {
    const page = await pageMaker();
    for (const size of SIZES) logs.push(new Looked(await makeLongHistory(size), page));
    // In turn, so that a busy machine slows all.
    for (let number = -WARM_UP; number < LOOKS; number++) for (const log of logs) log.look(number);
    const asked = Object.keys(WHAT) as Asked[];
    const rows = asked.flatMap((name) =>
      logs.map(({ batches, times }) => [
        `${name}_${batches}_ms`,
        figure(
          `${WHAT[name]}, of ${batches.toLocaleString('en')} batches: beside one row looked up by its key`,
          'ms',
          median(times[name]),
          median(times.row),
        ),
      ]),
    );
    const long = logs.at(-1)?.times;
    const large = figure(
      'a lot traced that is in 499 of 10,000 batches: beside one that is in 50',
      'ms',
      median(long?.large ?? []),
      median(long?.trace ?? []),
    );
    return { ...Object.fromEntries(rows), trace_large_lot_10000_ms: large };
  } finally {
    for (const log of logs) log.close();
  }
}
