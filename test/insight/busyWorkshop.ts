/** An invented workshop's log with many batches: two hands, a cup, a vessel weighed back, bars, and daily checks. */
import type { Happened } from '../../src/facts/fact.ts';
import { lesser, type Mass, mass, minus, ZERO } from '../../src/mass/mass.ts';
import type { BatchLog } from '../../src/records/batchLog.ts';
import { seededRandom } from '../../src/simulate/seededRandom.ts';
import { aDraw, aPlan, aStep, g, placing, weighing } from '../weighing/samplePlan.ts';

export interface Busy {
  readonly batches: number;
  readonly seed?: number;
  /** What is lost from mix to bars on average, as a share. */
  readonly loss?: number;
  /** A text that stands in place of every name. */
  readonly name?: string;
}

export const batchId = (number: number) =>
  `2026-${String(1 + Math.floor(number / 28)).padStart(2, '0')}-${String(1 + (number % 28)).padStart(2, '0')}-1`;

/** Writes it all. The log's clock should go on by itself. */
export async function fill(log: BatchLog, { batches, seed = 7, loss = 0.045, name }: Busy): Promise<void> {
  const random = seededRandom(seed);
  const noise = (s: number) => random.normal() * s;
  const at = (of: number, d: number): Mass => mass(Math.round(of / d) * d * 1_000);
  const [syrup, powder, scent] = [
    aDraw('A1', { ingredient: 'glycerin', name: name ?? 'Glycerin', lot: '' }),
    aDraw('A2', {
      ingredient: 'starch',
      name: name ?? 'Corn starch',
      lot: '',
      target: g(600),
      low: g(594),
      high: g(606),
    }),
    aDraw('C1', {
      ...{ ingredient: 'lavender', name: name ?? 'Lavender oil', lot: '', way: 'cup', scale: 'fine', on: 'cup' },
      ...{ target: g(5), low: g(4.75), high: g(5.1), over: 'never' },
    }),
  ];
  for (let number = 0; number < batches; number++) {
    const by = number % 3 === 0 ? 'Jon' : 'Mira';
    const lot = (of: string, lasts: number) => `${of}-${1 + Math.floor(number / lasts)}`;
    const draws = [
      { ...syrup, lot: name ?? lot('GL', 9) },
      { ...powder, lot: name ?? lot('CS', 5) },
      { ...scent, lot: name ?? lot('LV', 14) },
    ] as const;
    const steps = [aStep('B1', 'combine', { vessel: 'beaker', into: 'bowl' })];
    const formula = { id: 'sample', name: name ?? 'Sample bar', version: '3' };
    const plan = aPlan([...draws, ...steps], { bars: 9, bar: g(75), lossPpm: 30_000, mass: g(705), formula });
    // Mira pours a little too much syrup, Jon spreads widely.
    const poured = at(100_000 + (by === 'Mira' ? 600 + noise(400) : noise(1_100)), 100);
    const over: Happened[] =
      poured > draws[0].high ? [{ kind: 'held', draw: 'A1', net: poured, over: minus(poured, draws[0].high) }] : [];
    const net = lesser(poured, draws[0].high);
    const takenBack = minus(poured, net);
    const dust = at(600_000 + noise(800), 100);
    const drops = at(4_990 + noise(15), 10);
    const stays = at(150 + Math.abs(noise(20)), 10);
    const mix = net + dust + drops;
    const bar = (mix * (1 - loss + noise(0.004))) / 9;
    const weighedBars = Array.from({ length: 9 }, () => mass(Math.round((bar + noise(300_000)) / 100_000) * 100_000));
    const usual = { scale: 'bench', zero: ZERO, uncertainty: g(0.2), coverage: 2, verdict: 'in', how: 'lift' } as const;
    await log.append(batchId(number), by, [
      { kind: 'batch-started', plan },
      placing(draws[0], g(300)),
      ...over,
      weighing(draws[0], g(300), net, { takenBack }),
      weighing(draws[1], g(400), dust),
      weighing(draws[2], g(30), drops),
      { kind: 'tipped', draw: 'C1', vessel: 'bowl', residue: stays, deviation: null },
      { kind: 'finished' },
      {
        kind: 'portioning-started',
        scale: 'bench',
        setPoint: g(75),
        low: g(73),
        high: g(77),
        label: null,
        mix: mass(mix),
      },
      ...weighedBars.map((each, place): Happened => ({ kind: 'bar', bar: place + 1, net: each, ...usual })),
      { kind: 'portioning-ended' },
    ]);
    await log.append('scales', by, [check(at(noise(40) + (number === batches - 1 ? 500 : 0), 100))]);
  }
}

function check(error: Mass): Happened {
  const row = { kind: 'weight', nominal: g(1000), shown: mass(g(1000) + error), permissible: g(0.5) } as const;
  return {
    kind: 'scale-checked',
    scale: 'bench',
    basis: 'invented',
    rows: [row],
    repeatability: null,
    slopePpm: 500,
    passed: true,
  };
}
