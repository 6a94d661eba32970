/** An invented small batch: a plan and everything that happened, as typed facts. For tests. */
import type { Fact, Happened } from '../../src/facts/fact.ts';
import { type Mass, mass, minus, plus, ZERO } from '../../src/mass/mass.ts';
import type { Plan, PlannedDraw, PlannedStep } from '../../src/plan/model.ts';

/** Grams with at most six decimals. */
export function g(grams: number): Mass {
  return mass(Math.round(grams * 1_000_000));
}

const usual: Omit<PlannedDraw, 'id' | 'phase' | 'ingredient' | 'name' | 'inci' | 'lot' | 'target' | 'low' | 'high'> = {
  kind: 'draw',
  vessel: 'V1',
  way: 'add',
  scale: 'bench',
  on: 'V1',
  lotOnHand: g(900),
  over: 'forgiving',
  uncertainty: g(0.151),
  guard: ZERO,
  part: null,
  why: 'within the bench scale',
  cautions: [],
  note: null,
};

const whole = { group: 'D1', of: 2, target: g(853.608), low: g(845.1), high: g(862.1) };

function step(id: string, phase: string, kind: PlannedStep['step'], say: string): PlannedStep {
  return {
    kind: 'step',
    id,
    phase,
    step: kind,
    say,
    vessel: null,
    into: null,
    forMs: null,
    times: null,
    until: null,
    cautions: [],
  };
}

export const samplePlan: Plan = {
  formula: { id: 'cornflower-oat', name: 'Cornflower & oat cleansing bar', version: '3' },
  bars: 12,
  bar: g(75),
  lossPpm: 30_000,
  mass: g(1016.117),
  phases: [
    { id: 'A', name: 'melt', vessel: 'V1', mass: g(129.897) },
    { id: 'B', name: 'liquids', vessel: 'V2', mass: g(2.969) },
    { id: 'D', name: 'surfactants', vessel: 'V4', mass: g(853.608) },
    { id: 'E', name: 'cool-down', vessel: 'V4', mass: g(29.643) },
  ],
  tasks: [
    {
      ...usual,
      id: 'A1',
      phase: 'A',
      ingredient: 'glyceryl-stearate',
      name: 'Glyceryl stearate, flakes',
      inci: 'Glyceryl Stearate',
      lot: 'GS-118',
      target: g(55.67),
      low: g(54.6),
      high: g(56.7),
    },
    {
      ...usual,
      id: 'A2',
      phase: 'A',
      ingredient: 'shea',
      name: 'Shea butter, refined, chunks',
      inci: 'Butyrospermum Parkii Butter',
      lot: 'SH-45B',
      target: g(74.227),
      low: g(72.8),
      high: g(75.7),
    },
    { ...step('A3', 'A', 'melt', 'Melt in bursts of 30 s, stir between them.'), vessel: 'V1', times: 6 },
    {
      ...usual,
      id: 'B1',
      phase: 'B',
      ingredient: 'red-stock',
      name: 'Red dye stock, 1 %',
      inci: 'Aqua, Glycerin, CI 17200',
      lot: 'RS-03',
      vessel: 'V2',
      way: 'cup',
      scale: 'fine',
      on: 'cup',
      target: g(2.227),
      low: g(2.12),
      high: g(2.33),
      over: 'never',
      uncertainty: g(0.014),
    },
    {
      ...usual,
      id: 'B2',
      phase: 'B',
      ingredient: 'blue-dye',
      name: 'Blue dye powder',
      inci: 'CI 42090',
      lot: 'BD-7',
      vessel: 'V2',
      way: 'subtract',
      scale: 'fine',
      on: 'dye-jar',
      target: g(0.742),
      low: g(0.71),
      high: g(0.77),
      over: 'never',
      uncertainty: g(0.014),
    },
    {
      ...usual,
      id: 'D1.1',
      phase: 'D',
      ingredient: 'sulfoacetate',
      name: 'Sulfoacetate powder',
      inci: 'Sodium Lauryl Sulfoacetate',
      lot: 'SA-88',
      vessel: 'V4',
      on: 'V4',
      target: g(512),
      low: g(0),
      high: g(862.1),
      part: { ...whole, index: 1 },
    },
    {
      ...usual,
      id: 'D1.2',
      phase: 'D',
      ingredient: 'sulfoacetate',
      name: 'Sulfoacetate powder',
      inci: 'Sodium Lauryl Sulfoacetate',
      lot: 'SA-91',
      vessel: 'V4',
      on: 'V4',
      target: g(341.608),
      low: g(333.1),
      high: g(350.1),
      part: { ...whole, index: 2 },
    },
    { ...step('D2', 'D', 'combine', 'Scrape the melt into the bowl.'), vessel: 'V1', into: 'V4' },
    {
      ...usual,
      id: 'E1',
      phase: 'E',
      ingredient: 'preservative',
      name: 'Preservative blend (90:10)',
      inci: 'Phenoxyethanol, Ethylhexylglycerin',
      lot: 'PX-8',
      vessel: 'V4',
      way: 'cup',
      scale: 'fine',
      on: 'cup',
      target: g(18.557),
      low: g(18.19),
      high: g(18.92),
      over: 'never',
      uncertainty: g(0.014),
    },
    {
      ...usual,
      id: 'E2',
      phase: 'E',
      ingredient: 'lavender',
      name: 'Lavender oil',
      inci: 'Lavandula Angustifolia Oil',
      lot: 'LV-6',
      vessel: 'V4',
      way: 'cup',
      scale: 'fine',
      on: 'cup',
      target: g(11.086),
      low: g(10.54),
      high: g(11.3),
      over: 'ask',
      uncertainty: g(0.014),
    },
  ],
  scales: {
    bench: { id: 'bench', capacity: g(5000), d: g(0.1), repeatability: g(0.05), keyed: false },
    fine: { id: 'fine', capacity: g(200), d: g(0.01), repeatability: g(0.004), keyed: false },
  },
  vessels: {
    V1: { id: 'V1', name: 'melt jug, steel', tare: g(296.4) },
    V2: { id: 'V2', name: 'liquids beaker, glass', tare: g(158.3) },
    V4: { id: 'V4', name: 'mixing bowl, steel', tare: g(912) },
    cup: { id: 'cup', name: 'dosing cup, glass', tare: g(31.46) },
    'dye-jar': { id: 'dye-jar', name: 'dye jar', tare: g(63.18) },
  },
  notes: ['Lot SA-88 ends in this batch.'],
  cautions: ['Dust: mask on before the surfactant tub is opened.'],
};

/** A draw of the sample plan. */
export function planned(id: string, plan: Plan = samplePlan): PlannedDraw {
  for (const task of plan.tasks) if (task.kind === 'draw' && task.id === id) return task;
  throw new Error(`no draw ${id}`);
}

type Weighed = Happened & { kind: 'weighed' };

/** Of a scale with d = 0.1 g and a repeatability of 0.05 g that was not checked. */
const budget = { rounding: g(0.040825), repeatability: g(0.070711), drift: ZERO, check: ZERO };

/** A draw of the sample plan that was weighed with this net weight. */
export function weighed(id: string, net: Mass, change: Partial<Weighed> = {}, plan: Plan = samplePlan): Weighed {
  const draw = planned(id, plan);
  const before = plan.vessels[draw.on]?.tare ?? ZERO;
  return {
    kind: 'weighed',
    draw: id,
    ingredient: draw.ingredient,
    lot: draw.lot,
    vessel: draw.vessel,
    scale: draw.scale,
    way: draw.way,
    target: draw.target,
    low: draw.low,
    high: draw.high,
    before,
    after: draw.way === 'subtract' ? minus(before, net) : plus(before, net),
    net,
    takenBack: ZERO,
    uncertainty: draw.uncertainty,
    budget,
    how: 'dwell',
    deviation: null,
    lotEnded: false,
    ...change,
  };
}

/** The whole sample batch, with an over-pour, a break, two lots, a thrown-away cup, deviations and a given-up beaker. */
export function sampleHappened(plan: Plan = samplePlan): Happened[] {
  const put = (draw: string, unusual = false): Happened => {
    const { on, scale } = planned(draw, plan);
    const load = plan.vessels[on]?.tare ?? ZERO;
    return { kind: 'placed', draw, vessel: on, scale, load, zero: ZERO, unusual };
  };
  const made = (id: string, net: Mass, change: Partial<Weighed> = {}) => weighed(id, net, change, plan);
  return [
    { kind: 'batch-started', plan },
    { kind: 'gathered' },
    put('A1', true),
    made('A1', g(55.4)),
    { kind: 'held', draw: 'A2', net: g(78.8), over: g(3.1) },
    made('A2', g(74.5), { takenBack: g(4.3), before: g(351.8), after: g(426.3) }),
    { kind: 'step-begun', step: 'A3', burst: 1 },
    { kind: 'step-begun', step: 'A3', burst: 2 },
    { kind: 'step-done', step: 'A3', bursts: 2 },
    put('B1'),
    { kind: 'discarded', draw: 'B1', lot: 'RS-03', amount: g(2.9), reason: 'far too much in the cup' },
    put('B1'),
    made('B1', g(2.23)),
    { kind: 'tipped', draw: 'B1', vessel: 'V2', residue: g(0.02), deviation: null },
    { kind: 'given-up', vessel: 'V2', draws: ['B1'], reason: 'the beaker fell over' },
    put('B1'),
    made('B1', g(2.25)),
    {
      kind: 'tipped',
      draw: 'B1',
      vessel: 'V2',
      residue: g(0.16),
      deviation: { kind: 'residue', reason: 'it clings to the glass' },
    },
    put('B2'),
    { kind: 'scale-lost', scale: 'fine', draw: 'B2', say: 'The fine scale has been silent for 2 s.' },
    { kind: 'scale-back', scale: 'fine', draw: 'B2' },
    { kind: 'resumed' },
    { kind: 'held', draw: 'B2', net: g(0.82), over: g(0.05) },
    made('B2', g(0.75), { takenBack: g(0.07), how: 'key', before: g(90.58), after: g(89.83) }),
    put('D1.1'),
    made('D1.1', g(509.6), { lotEnded: true }),
    made('D1.2', g(343.9), { target: g(344.008), low: g(335.5), high: g(352.5), how: 'keyed' }),
    { kind: 'step-done', step: 'D2', bursts: 0 },
    made('E1', g(18.55)),
    { kind: 'tipped', draw: 'E1', vessel: 'V4', residue: g(0.11), deviation: null },
    made('E2', g(11.42), { how: 'key', deviation: { kind: 'over', reason: 'safety limit is 1.0 %, this is 0.9 %' } }),
    { kind: 'tipped', draw: 'E2', vessel: 'V4', residue: ZERO, deviation: null },
    { kind: 'finished' },
    { kind: 'corrected', corrects: 27, note: 'The lot was SA-92.', reason: 'label read wrongly' },
  ];
}

/** Gives happenings their place in a log: one a second from 10:00:00, the first with `from`. */
export function sealed(
  happened: readonly Happened[],
  { batch = '2026-11-25-1', by = 'Mara', from = 1 }: { batch?: string; by?: string; from?: number } = {},
): Fact[] {
  return happened.map((each, index) => {
    const at = `${new Date(Date.UTC(2026, 10, 25, 10, 0, index)).toISOString().slice(0, -1)}+01:00`;
    return { batch, seq: from + index, at, by, ...each };
  });
}
