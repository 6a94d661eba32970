/** How long a trace takes in a log of 10,000 batches x 15 draws, beside an indexed look-up of one row in the same file. */
import { existsSync, mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { DatabaseSync } from 'node:sqlite';
import type { Happened } from '../../src/facts/fact.ts';
import { mass, ZERO } from '../../src/mass/mass.ts';
import type { PlannedDraw } from '../../src/plan/model.ts';
import { openLog } from '../../src/records/batchLog.ts';
import { LOG_FILE } from '../../src/records/logFile.ts';
import type { LotName } from '../../src/records/trace/look.ts';
import { type LotDesk, NO_PAPERS, reportLot } from '../../src/records/trace/report.ts';
import { aDraw, aPlan, weighing } from '../weighing/samplePlan.ts';
import { type Figures, figure, median } from './figures.ts';

const BATCHES = 10_000;
const DRAWS = 15;
/** A lot lasts for so many batches. */
const LASTS = 50;
/** Every so many batches a stock is made, of which the batches up to the next draw. */
const STOCK_EVERY = 500;
const LOOKS = 40;

const g = (grams: number) => mass(Math.round(grams * 1e6));
const lotOf = (ingredient: number, batch: number): LotName => ({
  ingredient: `stuff-${ingredient}`,
  lot: `S${ingredient}-${Math.floor(batch / LASTS)}`,
});

function history(number: number): Happened[] {
  const lots = Array.from({ length: DRAWS }, (_, at) => lotOf(at, number));
  const made = Math.floor(number / STOCK_EVERY) * STOCK_EVERY;
  if (number > made) lots[DRAWS - 1] = { ingredient: 'stock', lot: `stock-${made}` };
  const draws = lots.map((lot, at): PlannedDraw => aDraw(`A${at}`, lot));
  return [
    { kind: 'batch-started', plan: aPlan(draws) },
    ...draws.map((draw, at) => weighing(draw, ZERO, g(10 + at))),
    { kind: 'finished' },
  ];
}

const desk: LotDesk = {
  nameOf: () => undefined,
  papersOf: () => NO_PAPERS,
  mixturesOf: () => [],
  isMixed: () => false,
};

export async function traceFigures(): Promise<Figures> {
  // The history is only written to be looked at: it need not go through a real disk.
  const folder = mkdtempSync(join(existsSync('/dev/shm') ? '/dev/shm' : tmpdir(), 'bismar-trace-'));
  try {
    const file = join(folder, LOG_FILE);
    const log = openLog(file);
    const papers = { pricePerKg: null, expires: null, supplierLot: null, certificate: null, jar: null };
    for (let number = 0; number < BATCHES; number++) {
      await log.append(`b-${number}`, 'Someone', history(number));
      if (number % STOCK_EVERY !== 0) continue;
      const stock = { ingredient: 'stock', lot: `stock-${number}`, amount: g(9_000), madeIn: `b-${number}` };
      await log.append('stock', 'Someone', [{ kind: 'lot-received', ...stock, ...papers }]);
    }
    log.close();
    const reading = openLog(file, { readOnly: true });
    const bare = new DatabaseSync(file, { readOnly: true });
    const row = bare.prepare('SELECT * FROM trace_uses WHERE batch = ? AND place = ?');
    const traced: number[] = [];
    const stocks: number[] = [];
    const looked: number[] = [];
    const timed = (times: number[], work: () => number, due: number) => {
      const begin = performance.now();
      const found = work();
      times.push(performance.now() - begin);
      if (found !== due) throw new Error(`${found} found in place of ${due}`);
    };
    const trace = (lot: LotName) => reading.traced((look) => reportLot(look, desk, lot)).batches.length;
    for (let look = 0; look < LOOKS; look++) {
      // In turn, so that a busy machine slows all, and each time another lot.
      const at = (STOCK_EVERY * look + 2 * LASTS) % BATCHES;
      timed(traced, () => trace(lotOf(look % (DRAWS - 1), at)), LASTS);
      timed(looked, () => (row.get(`b-${at}`, 3) ? 1 : 0), 1);
      if (look < 10)
        timed(stocks, () => trace({ ingredient: 'stock', lot: `stock-${look * STOCK_EVERY}` }), STOCK_EVERY - 1);
    }
    reading.close();
    bare.close();
    const what = 'a lot traced through 10,000 batches x 15 draws';
    return {
      trace_over_row_lookup_10000: figure(
        `${what}: 50 batches and all else in them, beside one row looked up by its key in the same file`,
        'ms',
        median(traced),
        median(looked),
      ),
      trace_large_lot_10000_ms: figure(
        `the same of a lot that is in 499 batches, beside one that is in 50`,
        'ms',
        median(stocks),
        median(traced),
      ),
    };
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
}
