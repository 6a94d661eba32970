import { join } from 'node:path';
import { describe, expect, test } from 'vitest';
import { insight } from '../../src/cli/records/insight.ts';
import { known, LEAST, learn } from '../../src/insight/learn.ts';
import { propose } from '../../src/insight/propose.ts';
import { samplesOf } from '../../src/insight/samples.ts';
import { toleranceFactor } from '../../src/insight/toleranceFactor.ts';
import { mass } from '../../src/mass/mass.ts';
import { openLog } from '../../src/records/batchLog.ts';
import { sparkline } from '../../src/records/insight/sparkline.ts';
import { LOG_FILE } from '../../src/records/logFile.ts';
import { printed } from '../cli/printed.ts';
import { sampleHappened, sealed as sealedSample } from '../records/sampleFacts.ts';
import { IN_MEMORY, tempFolder } from '../records/tempFolder.ts';
import { aDraw, aPlan, g, sealed, weighing } from '../weighing/samplePlan.ts';
import { type Busy, fill } from './busyWorkshop.ts';

async function busy(of: Busy): Promise<string> {
  const folder = tempFolder(IN_MEMORY);
  let now = Date.UTC(2026, 0, 5, 9);
  // An hour passes with each look at the clock.
  const tick = () => {
    now += 3_600_000;
    return new Date(now);
  };
  const log = openLog(join(folder, LOG_FILE), { now: tick });
  await fill(log, of);
  log.close();
  return folder;
}

/** What the command prints. */
const told = (options: Parameters<typeof insight>[0]) => printed(() => insight(options));

describe('statistics', () => {
  // NIST/SEMATECH e-Handbook, 7.2.6.3, from memory: 43 values, 90 % of all with 99 % confidence: k = 2.217.
  // Tables of two-sided factors for normal values (any text on quality control), from memory, 95 % / 95 %:
  // n = 10: 3.379, n = 20: 2.752, n = 30: 2.549, n = 100: 2.233. Howe's method is good to about half a percent.
  test.each([
    [43, 0.9, 0.99, 2.217],
    [10, 0.95, 0.95, 3.379],
    [20, 0.95, 0.95, 2.752],
    [30, 0.95, 0.95, 2.549],
    [100, 0.95, 0.95, 2.233],
  ])('how wide a band holds most of what will come: %i values, %d, %d', (n, share, confidence, k) => {
    expect(toleranceFactor(n, share, confidence) / k).toBeCloseTo(1, 2);
  });

  test('how surely a mean is known: t s / sqrt(n), with t(0.975; 7) = 2.364624 (any table of t)', () => {
    const values = [1, 2, 3, 4, 5, 6, 7, 8].map(mass);
    expect(known(values, LEAST)).toMatchObject({ n: 8, mean: 4.5 });
    expect(known(values, LEAST)?.sure).toBeCloseTo((2.364624 * Math.sqrt(6)) / Math.sqrt(8), 6);
    expect(known(values.slice(1), LEAST)).toBeNull();
  });
});

describe('what is observed', () => {
  const draw = aDraw('A1');
  const started = { kind: 'batch-started', plan: aPlan([draw]) } as const;

  test('a pour counts by where it first came to rest, not by what was left after some was taken back', () => {
    const facts = sealed([
      started,
      { kind: 'held', draw: 'A1', net: g(105), over: g(3) },
      weighing(draw, g(300), g(101.5), { takenBack: g(3.5) }),
    ]);
    expect(samplesOf(facts).pours).toMatchObject([{ first: g(105), net: g(101.5), over: true }]);
    expect(samplesOf(facts).wasted).toMatchObject([{ amount: g(3.5), why: 'taken back out' }]);
  });

  test('what was taken back out and went back into its jar, or was kept aside, is not wasted', () => {
    const over = weighing(draw, g(300), g(101.5), { takenBack: g(3.5) });
    const jar = {
      kind: 'returned',
      draw: 'A1',
      ingredient: draw.ingredient,
      lot: draw.lot,
      amount: g(3.5),
      to: 'jar',
    } as const;
    const aside = { ...jar, to: 'aside' } as const;
    for (const back of [jar, aside]) expect(samplesOf(sealed([started, over, back])).wasted).toEqual([]);
    // What went back is of the weighing before it; weighed again, the next one is told by itself.
    const undone = { kind: 'undone', corrects: 2, of: 'weighed', id: 'A1', how: 'key' } as const;
    const again = [started, over, jar, undone, { ...over, takenBack: g(1) }] as const;
    expect(samplesOf(sealed(again)).wasted).toMatchObject([{ amount: g(1), why: 'taken back out' }]);
    const givenUp = { kind: 'given-up', vessel: draw.vessel, draws: ['A1'], reason: 'spilled' } as const;
    expect(samplesOf(sealed([started, over, jar, givenUp])).wasted).toMatchObject([
      { amount: g(101.5), why: 'given up' },
    ]);
  });

  test('what was taken back, parts of a draw, and lots that ended teach nothing of a hand', () => {
    const undone = { kind: 'undone', corrects: 2, of: 'weighed', id: 'A1', how: 'key' } as const;
    expect(samplesOf(sealed([started, weighing(draw, g(300), g(99)), undone])).pours).toEqual([]);
    expect(samplesOf(sealed([started, weighing(draw, g(300), g(99), { lotEnded: true })])).pours).toEqual([]);
    const part = { group: 'A1', index: 1, of: 2, target: g(200), low: g(196), high: g(204) };
    const plan = aPlan([{ ...draw, part }]);
    expect(samplesOf(sealed([{ ...started, plan }, weighing(draw, g(300), g(99))])).pours).toEqual([]);
  });

  test('of the sample batch: cups, waste, and nothing of bars', () => {
    const samples = samplesOf(sealedSample(sampleHappened()));
    expect(samples.left.map(({ what, residue }) => [what, residue])).toEqual([
      ['Red dye stock, 1 %', g(0.02)],
      ['Red dye stock, 1 %', g(0.16)],
      ['Preservative blend (90:10)', g(0.11)],
      ['Lavender oil', g(0)],
    ]);
    expect(samples.wasted.map(({ name, amount, why }) => [name, amount, why])).toEqual([
      ['Shea butter, refined, chunks', g(4.3), 'taken back out'],
      ['Red dye stock, 1 %', g(2.9), 'thrown away'],
      ['Red dye stock, 1 %', g(2.23), 'given up'],
    ]);
    expect(samples.yields).toEqual([]);
  });
});

test('with few batches nothing is said but that there are too few', async () => {
  const folder = await busy({ batches: 4 });
  const said = await told({ in: folder });
  expect(said).toMatch(/Too few yet to say anything:/);
  expect(said).not.toMatch(/Worth a thought|mean|spread|limits/);
  const data = JSON.parse(await told({ in: folder, json: true }));
  expect(data.proposals).toEqual([]);
  expect(data.pours.every((pour: { error: unknown }) => pour.error === null)).toBe(true);
});

test('with many batches hands, cups, losses and scales are told, and what might be done, with its evidence', async () => {
  const folder = await busy({ batches: 45 });
  expect(await told({ in: folder })).toMatchInlineSnapshot(`
    "From 45 batches, 2026-01-05 to 2026-01-09. Nothing is changed by it.

    Worth a thought:
      - Sample bar: Reckon with a loss of 5.4 % in place of 3 %: or the last bar
        will be short.
        (45 batches lost 4.54 % from mix to bars on average (±0.14 %), spread
        0.47 %; the next stays below 5.4 % with 95 % confidence)
      - Corn starch: Its band of about 1 % could be 0.4 %, if it matters; the plan
        says whether the scale can judge it.
        (45 pours first came to rest on the target on average, spread 0.14 %; 95 %
        of all within 0.4 % either side with 95 % confidence)
      - Lavender oil: Its band of about 2 % could be 1 %, if it matters; the plan
        says whether the scale can judge it.
        (45 pours first came to rest 0.18 % below the target on average, spread
        0.3 %; 95 % of all within 1 % either side with 95 % confidence)
      - Glycerin: Mira may stop a little earlier.
        (30 pours ended 0.6 % above the target on average (±0.14 %, 95 %
        confidence))
      - Lavender oil: Mira may go on a little longer.
        (30 pours ended 0.18 % below the target on average (±0.11 %, 95 %
        confidence))
      - Lavender oil: What stays in its cup takes more than half of what its band
        allows below: a smaller or smoother cup, a rinse, or straight out of its
        jar.
        (45 times 3.3 % of the target stayed in the cup on average (±0.074 %); the
        band allows 5 % below)
      - bench scale: Its last check was otherwise than its checks before: look it
        over (level, draught, dirt under the pan, the weight itself), and check
        again.
        (with 1000.000 g it was off by 0.500 g; 45 checks stay within -0.100 g to
        0.114 g)

    Pours against their targets, where they first came to rest:
      Glycerin, Jon
        n 15, mean +0.5 g (±0.8), spread 1.5 g, 1 over ▅▅▆▃█▄▆▃▁▇▆▇▄▆▆
      Corn starch, Jon
        n 15, mean -0.13 g (±0.48), spread 0.87 g, none over ▃▄▁▄▁▄▄▅▆▃▂█▃▅▄
      Lavender oil, Jon
        n 15, mean -0.009 g (±0.010), spread 0.017 g, none over ▂▇▃▅▃▅▁▆▂▅▅▇▆▇█
      Glycerin, Mira
        n 30, mean +0.60 g (±0.14), spread 0.37 g, none over █▇▃▅▆▇▄▄▃▄▁▄▇▄▆▂
      Corn starch, Mira
        n 30, mean +0.11 g (±0.33), spread 0.87 g, none over ▁▅▅▁█▇▅▅▇▂▇▆▇▃▅▁
      Lavender oil, Mira
        n 30, mean -0.009 g (±0.005), spread 0.014 g, none over ▁▃▃▃▅▁▅▁▁▃▃█▅▆▃▁

    Stayed in cups and emptied vessels:
      cup of Lavender oil
        n 45, mean 0.167 g (±0.004), spread 0.012 g, 3.4 % of what was in it
        ▅▁▃▅▃█▁▅▃▅▆▃▅▃▅▅

    Left its lot for nothing:
      Glycerin: 0.80 g taken back out, once

    Lost from mix to bars:
      Sample bar
        n 45, mean 4.54 % (±0.14 %), spread 0.47 %, the formula reckons with 3 %
        ▂▄▄▃█▃▃▁▄▂▃▅▁▃▂▂

    Daily checks of the scales (what was shown less the weight):
      bench with 1000 g
        n 45, last +0.50 g, mean +0.01 g, limits -0.10 g to +0.11 g, 1 beyond them
        ▁▁▁▁▁▁▁▁▁▁▁▂▁▁▁█
    "
  `);
  const data = JSON.parse(await told({ in: folder, json: true }));
  expect(
    data.proposals.map(({ about, what }: { about: string; what: string }) => `${about}: ${what}`),
  ).toMatchInlineSnapshot(`
    [
      "loss: Sample bar",
      "band: Corn starch",
      "band: Lavender oil",
      "hand: Glycerin",
      "hand: Lavender oil",
      "cup: Lavender oil",
      "scale: bench scale",
    ]
  `);
});

test('only the newest batches count where that is asked for, and a wrong number is told', async () => {
  const folder = await busy({ batches: 12 });
  expect(JSON.parse(await told({ in: folder, json: true, last: '5' })).batches).toBe(5);
  await expect(insight({ in: folder, last: 'many' })).rejects.toThrow(/--last wants a number/);
});

test('a hand that is as often above as below gets no advice', () => {
  const draw = aDraw('A1');
  const batches = Array.from({ length: 20 }, (_, at) =>
    samplesOf(
      sealed([{ kind: 'batch-started', plan: aPlan([draw]) }, weighing(draw, g(300), g(at % 2 ? 101.4 : 98.6))]),
    ),
  );
  expect(propose(learn(batches, []), batches)).toEqual([]);
});

test('a sparkline: low, high, and all alike', () => {
  expect(sparkline([0, 7])).toBe('▁█');
  expect(sparkline([3, 3, 3])).toBe('▄▄▄');
  expect(sparkline([...Array(40).keys()])).toHaveLength(16);
});
