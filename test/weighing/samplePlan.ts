/**
 * A small invented batch with one of everything, for tests: an add, an add out of two lots, a step in timed bursts, a
 * subtract, one vessel emptied into another, a cup that may never be over, and a step that just has to be done.
 */
import type { Fact, Happened } from '../../src/facts/fact.ts';
import { type Mass, mass, ZERO } from '../../src/mass/mass.ts';
import type { Plan, PlannedDraw, PlannedScale, PlannedStep } from '../../src/plan/model.ts';

/** Grams, to the microgram. */
export const g = (grams: number): Mass => mass(Math.round(grams * 1_000_000));

/** Any other mass than a typed-in number: to the microgram. */
export const ug = (micrograms: number): Mass => mass(Math.round(micrograms));

export const bench: PlannedScale = { id: 'bench', capacity: g(5000), d: g(0.1), repeatability: g(0.05), keyed: false };
export const fine: PlannedScale = { id: 'fine', capacity: g(200), d: g(0.01), repeatability: g(0.004), keyed: false };

/** A draw of 100 g into the bowl on the bench scale, but for what is said. */
export function aDraw(id: string, change: Partial<PlannedDraw> = {}): PlannedDraw {
  return {
    kind: 'draw',
    id,
    phase: id.slice(0, 1),
    ingredient: `ingredient ${id}`,
    name: `Ingredient ${id}`,
    inci: 'Invented',
    vessel: 'bowl',
    way: 'add',
    scale: 'bench',
    on: 'bowl',
    lot: `lot ${id}`,
    lotOnHand: g(900),
    target: g(100),
    low: g(98),
    high: g(102),
    over: 'ask',
    uncertainty: g(0.163),
    guard: ZERO,
    part: null,
    why: 'invented',
    cautions: [],
    note: null,
    ...change,
  };
}

export function aStep(id: string, step: PlannedStep['step'], change: Partial<PlannedStep> = {}): PlannedStep {
  return {
    kind: 'step',
    id,
    phase: id.slice(0, 1),
    step,
    say: `${step}, please`,
    vessel: null,
    into: null,
    forMs: null,
    times: null,
    until: null,
    cautions: [],
    ...change,
  };
}

const flour = { group: 'A2', of: 2, target: g(200), low: g(196), high: g(204) };

/** The oat flour of two lots: the first bag should hold 80 g. */
export const firstBag = aDraw('A2.1', {
  target: g(80),
  low: g(76),
  high: g(84),
  lotOnHand: g(80),
  part: { ...flour, index: 1 },
});
export const secondBag = aDraw('A2.2', {
  target: g(120),
  low: g(116),
  high: g(124),
  part: { ...flour, index: 2 },
});

/** Dye spooned out of its jar. */
export const dye = aDraw('B1', {
  way: 'subtract',
  scale: 'fine',
  on: 'jar',
  vessel: 'beaker',
  lotOnHand: g(20),
  target: g(0.8),
  low: g(0.76),
  high: g(0.84),
  uncertainty: g(0.014),
});

/** The same, and a second person has to look at it. */
export const seenDye: PlannedDraw = { ...dye, witness: true };

/** Oil by the cup, never over. */
export const oil = aDraw('C1', {
  way: 'cup',
  scale: 'fine',
  on: 'cup',
  target: g(5),
  low: g(4.8),
  high: g(5.1),
  over: 'never',
  uncertainty: g(0.014),
});

export const melt = aStep('A3', 'melt', { vessel: 'bowl', forMs: 30_000, times: 2 });
export const combine = aStep('B2', 'combine', { vessel: 'beaker', into: 'bowl' });

const vessels = {
  bowl: { id: 'bowl', name: 'Bowl', tare: g(300) },
  beaker: { id: 'beaker', name: 'Beaker', tare: g(150) },
  cup: { id: 'cup', name: 'Cup', tare: g(30) },
  jar: { id: 'jar', name: 'Dye jar', tare: g(60) },
};

/** The sample plan, with other tasks where they are given. */
export function aPlan(tasks: Plan['tasks'] = sampleTasks, change: Partial<Plan> = {}): Plan {
  return {
    formula: { id: 'sample', name: 'Sample bar', version: '1' },
    bars: null,
    bar: null,
    lossPpm: 0,
    mass: g(305.8),
    phases: [
      { id: 'A', name: 'dry', vessel: 'bowl', mass: g(300) },
      { id: 'B', name: 'colour', vessel: 'beaker', mass: g(0.8) },
      { id: 'C', name: 'cool-down', vessel: 'bowl', mass: g(5) },
    ],
    tasks,
    scales: { bench, fine },
    vessels,
    notes: [],
    cautions: [],
    ...change,
  };
}

export const sampleTasks: Plan['tasks'] = [
  aDraw('A1'),
  firstBag,
  secondBag,
  dye,
  melt,
  combine,
  oil,
  aStep('C2', 'check', { vessel: 'bowl' }),
  aStep('C3', 'sum', { vessel: 'bowl' }),
];

/** What the sample has not, in as few draws as can be: a witness, a cup that may be too small, a lot that may end. */
/** Double entry: the jar of a draw is weighed before and after it. */
export const withJar = (draw: PlannedDraw): Plan['tasks'] => [
  aStep(`${draw.id}/jar-before`, 'jar', { jar: { draw: draw.id, when: 'before' } }),
  draw,
  aStep(`${draw.id}/jar-after`, 'jar', { jar: { draw: draw.id, when: 'after' } }),
];

export const rareTasks: Plan['tasks'] = [seenDye, { ...oil, otherLots: [{ id: 'lot A2.3', onHand: g(900) }] }];

export const BATCH = '2026-11-25-1';
export const BY = 'Someone';
/** When everything happens. */
export const AT = '2026-11-25T10:00:00.000+01:00';

/** Puts facts in their place after `seq`. */
export function sealed(happened: readonly Happened[], seq = 0): readonly Fact[] {
  return happened.map((each, index) => ({ ...each, batch: BATCH, seq: seq + index + 1, at: AT, by: BY }));
}

/** The weighing of a draw that found its vessel at `before`. */
export function weighing(
  draw: PlannedDraw,
  before: Mass,
  net: Mass,
  change: Partial<Extract<Happened, { kind: 'weighed' }>> = {},
): Happened {
  return {
    kind: 'weighed',
    draw: draw.id,
    ingredient: draw.ingredient,
    lot: draw.lot,
    vessel: draw.vessel,
    scale: draw.scale,
    way: draw.way,
    target: draw.target,
    low: draw.low,
    high: draw.high,
    before,
    after: mass(draw.way === 'subtract' ? before - net : before + net),
    net,
    takenBack: ZERO,
    uncertainty: draw.uncertainty,
    budget: { rounding: g(0.040825), repeatability: g(0.070711), drift: ZERO, check: ZERO },
    how: 'dwell',
    deviation: null,
    lotEnded: false,
    ...change,
  };
}

/** A draw's vessel found on its pan. */
export function placing(draw: PlannedDraw, load: Mass): Happened {
  return { kind: 'placed', draw: draw.id, vessel: draw.on, scale: draw.scale, load, zero: ZERO, unusual: false };
}
