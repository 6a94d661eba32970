/**
 * How long plan, stock and "which lot next" take with a long history, beside the same with a short one: 2,000 lots and
 * 10,000 batches against 2,000 lots and 100 batches.
 */
import { existsSync, mkdirSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { loadWorkshop } from '../../src/cli/folder.ts';
import { planFor } from '../../src/cli/planning.ts';
import { lookAtStock } from '../../src/cli/stock/stockNow.ts';
import { type Happened, STOCK } from '../../src/facts/fact.ts';
import { type Mass, mass, sumOf, ZERO } from '../../src/mass/mass.ts';
import { allotLots } from '../../src/plan/lots.ts';
import type { Plan } from '../../src/plan/model.ts';
import { openLog } from '../../src/records/batchLog.ts';
import { LOG_FILE } from '../../src/records/logFile.ts';
import { keepStock } from '../../src/records/stockKeeper.ts';
import { lotsNow } from '../../src/stock/stocked.ts';
import type { Workshop } from '../../src/workshop/model.ts';
import { type Figures, figure, median } from './figures.ts';

const INGREDIENTS = 20;
const LOTS_OF_EACH = 100;
const LONG = 10_000;
const SHORT = 100;
const LOOKS = 60;
const DAY = '2026-11-25';

const ids = Array.from({ length: INGREDIENTS }, (_, at) => `stuff-${at}`);
const codeOf = (id: string, at: number) => `${id}-L${at}`;
const g = (grams: number): Mass => mass(Math.round(grams * 1e6));

const workshopText = `
name: Bench
operators: [Someone]
scales: {bench: {capacity: 5 kg, d: 0.1 g, repeatability: 0.05 g, keyed: yes}}
vessels: {bowl: {name: Bowl, tare: 300 g, usable: 4 l}}
ingredients:
${ids.map((id) => `  ${id}: {name: Stuff ${id}, inci: Stuff, density: 1 g/ml}`).join('\n')}
`;

const formulaText = `
name: Sample
version: 1
batch: 1500 g
phases:
  - phase: A
    name: All
    vessel: bowl
    work:
${[40, 35, 25].map((share, at) => `      - { draw: ${ids[at]}, share: ${share} %, band: 1 % }`).join('\n')}
`;

interface Bench {
  readonly folder: string;
  readonly workshop: Workshop;
}

function receipts(): Happened[] {
  return ids.flatMap((ingredient) =>
    Array.from({ length: LOTS_OF_EACH }, (_, at): Happened => {
      const expires = `20${27 + (at % 40)}-06-30`;
      const papers = { pricePerKg: '4.20', expires, supplierLot: null, certificate: null, jar: null };
      return { kind: 'lot-received', ingredient, lot: codeOf(ingredient, at), amount: g(5_000), ...papers };
    }),
  );
}

/** Draws of a batch, out of ever other lots, so that all of them stay in stock. */
function history(plan: Plan, number: number): Happened[] {
  const weights = plan.tasks.flatMap((task): Happened[] => {
    if (task.kind !== 'draw') return [];
    const { id, ingredient, vessel, scale, way, target, low, high, uncertainty } = task;
    return [
      {
        kind: 'weighed',
        draw: id,
        ingredient,
        lot: codeOf(ingredient, number % LOTS_OF_EACH),
        vessel,
        scale,
        way,
        target,
        low,
        high,
        before: ZERO,
        after: g(10),
        net: g(10),
        takenBack: ZERO,
        uncertainty,
        budget: { rounding: g(0.04), repeatability: ZERO, drift: ZERO, check: ZERO },
        how: 'dwell',
        deviation: null,
        lotEnded: false,
      },
    ];
  });
  return [{ kind: 'batch-started', plan }, ...weights, { kind: 'finished' }];
}

async function made(batches: number): Promise<Bench> {
  // Where the history is only written to be looked at, it need not go through a real disk.
  const folder = mkdtempSync(join(existsSync('/dev/shm') ? '/dev/shm' : tmpdir(), 'bismar-stock-'));
  mkdirSync(join(folder, 'formulas'));
  writeFileSync(join(folder, 'workshop.yaml'), workshopText);
  writeFileSync(join(folder, 'formulas', 'sample.yaml'), formulaText);
  const workshop = loadWorkshop(folder);
  const log = openLog(join(folder, LOG_FILE));
  await log.append(STOCK, 'Someone', receipts());
  const { plan } = planFor(folder, workshop, 'sample', {});
  const tasks = plan.tasks.map((task) => (task.kind === 'draw' ? { ...task, otherLots: [] } : task));
  const small: Plan = { ...plan, tasks, lots: {} };
  for (let number = 0; number < batches; number++) await log.append(`b-${number}`, 'Someone', history(small, number));
  log.close();
  return { folder, workshop };
}

function planned({ folder, workshop }: Bench): void {
  planFor(folder, workshop, 'sample', {});
}

function stockTold({ folder, workshop }: Bench): void {
  const all = lookAtStock(folder, (stock) => [...workshop.ingredients.values()].flatMap((of) => lotsNow(of, stock)));
  if (all.length !== INGREDIENTS * LOTS_OF_EACH) throw new Error(`${all.length} lots in stock`);
}

function lotNext({ folder, workshop }: Bench): void {
  const of = workshop.ingredients.get('stuff-3');
  if (!of) throw new Error('no such ingredient');
  const lots = lookAtStock(folder, (stock) => lotsNow(of, stock));
  const stock = lots.map((lot) => ({ lot, onHand: lot.onHand }));
  const wanted = mass(Math.min(g(12_000), sumOf(stock.map(({ onHand }) => onHand))));
  if (!allotLots(stock, wanted, ZERO, DAY).ok) throw new Error('no lot to use');
}

/** One more weight, recorded with its stock. */
async function recorded({ folder, workshop }: Bench): Promise<number[]> {
  const log = openLog(join(folder, LOG_FILE));
  const kept = keepStock(log, workshop);
  const { plan } = planFor(folder, workshop, 'sample', {});
  const [start, weight] = history(plan, 7);
  if (!start || !weight) throw new Error('no history');
  await kept.append('b-now', 'Someone', [start]);
  const times: number[] = [];
  for (let look = 0; look < LOOKS; look++) {
    const begin = performance.now();
    await kept.append('b-now', 'Someone', [weight]);
    times.push(performance.now() - begin);
  }
  log.close();
  return times;
}

function timed(work: (bench: Bench) => void, long: Bench, short: Bench): [number, number] {
  const times: [number[], number[]] = [[], []];
  for (let look = -10; look < LOOKS; look++) {
    // In turn, so that a busy machine slows both.
    [long, short].forEach((bench, which) => {
      const begin = performance.now();
      work(bench);
      if (look >= 0) times[which]?.push(performance.now() - begin);
    });
  }
  return [median(times[0]), median(times[1])];
}

export async function stockFigures(): Promise<Figures> {
  const [long, short] = [await made(LONG), await made(SHORT)];
  try {
    const what = (of: string) => `${of} with 2,000 lots and 10,000 batches in the log: beside 100 batches`;
    const plan = timed(planned, long, short);
    const told = timed(stockTold, long, short);
    const next = timed(lotNext, long, short);
    const record = [median(await recorded(long)), median(await recorded(short))] as const;
    return {
      plan_long_history_ms: figure(what('a plan'), 'ms', ...plan),
      stock_long_history_ms: figure(what('stock of every lot'), 'ms', ...told),
      lots_long_history_ms: figure(what('which lots do I use'), 'ms', ...next),
      weight_long_history_ms: figure(what('a weight recorded with its stock'), 'ms', ...record),
    };
  } finally {
    for (const { folder } of [long, short]) rmSync(folder, { recursive: true, force: true });
  }
}
