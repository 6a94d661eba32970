/** Logs with a history of made-up batches, written only to be looked at: they need not go through a real disk. */
import { existsSync, mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import type { Happened } from '../../src/facts/fact.ts';
import { mass, ZERO } from '../../src/mass/mass.ts';
import type { PlannedDraw } from '../../src/plan/model.ts';
import { openLog } from '../../src/records/batchLog.ts';
import { LOG_FILE } from '../../src/records/logFile.ts';
import type { LotName } from '../../src/records/trace/look.ts';
import { aDraw, aPlan, weighing } from '../weighing/samplePlan.ts';

export const DRAWS = 15;
/** A lot lasts for so many batches. */
export const LASTS = 50;
/** Every so many batches a stock is made, of which the batches up to the next draw. */
export const STOCK_EVERY = 500;

export interface LongHistory {
  readonly file: string;
  readonly batches: number;
  remove(): void;
}

const g = (grams: number) => mass(Math.round(grams * 1e6));

const stop = { flow: 2_000_000, arrived: g(9), briskest: 4_000_000, ended: g(10) };

/** The lot of one of the ingredients that a batch draws from. */
export function lotOf(ingredient: number, batch: number): LotName {
  return { ingredient: `stuff-${ingredient}`, lot: `S${ingredient}-${Math.floor(batch / LASTS)}` };
}

export const idOf = (batch: number): string => `b-${batch}`;

/** The newest batch is left open. */
function happened(number: number, isOpen: boolean): Happened[] {
  const lots = Array.from({ length: DRAWS }, (_, at) => lotOf(at, number));
  const made = Math.floor(number / STOCK_EVERY) * STOCK_EVERY;
  if (number > made) lots[DRAWS - 1] = { ingredient: 'stock', lot: `stock-${made}` };
  const draws = lots.map((lot, at): PlannedDraw => aDraw(`A${at}`, lot));
  return [
    { kind: 'batch-started', plan: aPlan(draws) },
    ...draws.map((draw, at) => weighing(draw, ZERO, g(10 + at), { pour: { lagMs: 300, stop } })),
    ...(isOpen ? [] : [{ kind: 'finished' } as const]),
  ];
}

export async function makeLongHistory(batches: number): Promise<LongHistory> {
  const folder = mkdtempSync(join(existsSync('/dev/shm') ? '/dev/shm' : tmpdir(), 'bismar-history-'));
  const file = join(folder, LOG_FILE);
  const log = openLog(file);
  const papers = { pricePerKg: null, expires: null, supplierLot: null, certificate: null, jar: null };
  for (let number = 0; number < batches; number++) {
    await log.append(idOf(number), 'Someone', happened(number, number === batches - 1));
    if (number % STOCK_EVERY !== 0) continue;
    const stock = { ingredient: 'stock', lot: `stock-${number}`, amount: g(9_000), madeIn: idOf(number) };
    await log.append('stock', 'Someone', [{ kind: 'lot-received', ...stock, ...papers }]);
  }
  await log.catchUp();
  log.close();
  return { file, batches, remove: () => rmSync(join(file, '..'), { recursive: true, force: true }) };
}
