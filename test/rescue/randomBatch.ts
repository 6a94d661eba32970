/** Random small batches with something too much on the pan. Masses are a few hundred micrograms, so that every size can be tried. */

import type { Fact } from '../../src/facts/fact.ts';
import type { Ceiling, Formula, FormulaDraw, FormulaStep, Phase, Tolerance } from '../../src/formula/model.ts';
import { type Mass, mass } from '../../src/mass/mass.ts';
import type { PlannedDraw } from '../../src/plan/model.ts';
import { makePlan } from '../../src/plan/plan.ts';
import { rescuedBy } from '../../src/rescue/accepting.ts';
import type { RescueInput } from '../../src/rescue/model.ts';
import { planRescue } from '../../src/rescue/rescue.ts';
import { stockUsed } from '../../src/rescue/stockUsed.ts';
import { seededRandom } from '../../src/simulate/seededRandom.ts';
import type { Ingredient, Lot, Scale, Vessel, Workshop } from '../../src/workshop/model.ts';
import { sealed } from '../weighing/samplePlan.ts';
import { type Nets, walkOn, walkTo } from './walkTo.ts';

const TODAY = '2026-11-25';
const ML = 1e-6; // a microgram of density 1 takes so many millilitres

/** Draws from a seeded generator. */
function dice(seed: number) {
  const { next } = seededRandom(seed);
  const real = (from: number, to: number) => from + next() * (to - from);
  return {
    real,
    whole: (from: number, to: number) => Math.floor(real(from, to + 1)),
    chance: (of: number) => next() < of,
    pick: <T>(from: readonly T[]): T => from[Math.floor(next() * from.length)] as T,
  };
}

type Dice = ReturnType<typeof dice>;

function aScale(id: string, capacity: number, d: number, s: number | undefined): Scale {
  return {
    id,
    capacity: mass(capacity),
    d: mass(d),
    repeatability: s === undefined ? undefined : mass(s),
    port: undefined,
    profile: undefined,
    dwellMs: 1000,
    sleepsAfterMs: undefined,
  };
}

function aVessel(id: string, tare: number, usableMl: number | undefined): Vessel {
  return { id, name: id, tare: mass(tare), usableMl, note: undefined };
}

function tolerance({ whole, chance }: Dice, target: number): Tolerance {
  const side = () =>
    chance(0.8)
      ? { ppm: whole(2, 25) * 10_000 }
      : { mass: mass(Math.max(1, Math.floor((target * whole(3, 20)) / 100))) };
  const under = side();
  return { under, over: chance(0.6) ? under : side(), floor: chance(0.2) ? mass(whole(1, 4)) : undefined };
}

function lotsFor(dice: Dice, id: string, target: number, jars: Vessel[]): Lot[] {
  const { whole, chance, real } = dice;
  const plenty = chance(0.6);
  return Array.from({ length: whole(1, 3) }, (_, index): Lot => {
    const onHand = Math.max(1, Math.floor(target * (plenty ? real(0.9, 4) : real(0.2, 1.5))));
    const jar = chance(0.4) ? aVessel(`jar-${id}-${index}`, whole(5, 30), undefined) : undefined;
    if (jar) jars.push(jar);
    const expires = chance(0.3) ? undefined : `2026-${chance(0.15) ? '10' : '12'}-${whole(10, 28)}`;
    return { id: `${id}-${index}`, onHand: mass(onHand), expires, pricePerKg: undefined, jar: jar?.id };
  });
}

function shares({ whole, chance }: Dice, count: number): number[] {
  const unit = chance(0.5) ? 10_000 : 1;
  const all = Array.from({ length: count }, () => whole(2, 60));
  const sum = all.reduce((total, each) => total + each, 0);
  const parts = all.map((each) => Math.max(1, Math.floor((each / sum) * (1_000_000 / unit))) * unit);
  const first = parts[0] ?? 0;
  return [first + 1_000_000 - parts.reduce((total, each) => total + each, 0), ...parts.slice(1)];
}

function aStep(step: FormulaStep['step'], vessel?: string, into?: string): FormulaStep {
  return {
    kind: 'step',
    step,
    say: step,
    vessel,
    into,
    forMs: undefined,
    times: undefined,
    until: undefined,
    cautions: [],
  };
}

interface World {
  readonly workshop: Workshop;
  readonly formula: Formula;
}

function aWorld(dice: Dice): World {
  const { whole, chance, pick, real } = dice;
  const batch = whole(200, 900);
  const count = whole(2, 7);
  const jars: Vessel[] = [];
  const ingredients = new Map<string, Ingredient>();
  const draws = shares(dice, count).map((share, index): FormulaDraw => {
    const target = (batch * share) / 1_000_000;
    const known = [...ingredients.keys()];
    const id = index > 0 && chance(0.1) ? pick(known) : `i${index}`;
    if (!ingredients.has(id)) {
      const density = chance(0.2) ? undefined : real(0.3, 1.3);
      ingredients.set(id, { id, name: id, inci: id, density, lots: lotsFor(dice, id, target, jars), cautions: [] });
    }
    return {
      kind: 'draw',
      ingredient: id,
      share,
      tolerance: tolerance(dice, target),
      over: pick(['never', 'ask', 'forgiving']),
      way: chance(0.8) ? undefined : pick(['add', 'cup', 'subtract']),
      scale: chance(0.85) ? undefined : pick(['bench', 'fine']),
      cup: undefined,
      note: undefined,
    };
  });
  const roomy = () => batch * ML * (chance(0.6) ? real(3, 8) : real(0.8, 3));
  const vessels = [
    aVessel('jug', whole(20, 200), roomy()),
    aVessel('bowl', whole(50, 400), roomy()),
    aVessel('cup', whole(3, 10), real(20, 80) * ML),
    aVessel('dish', whole(11, 30), real(81, 400) * ML),
    ...jars,
  ];
  const scales = [
    aScale('bench', chance(0.7) ? 5000 : whole(500, 1800), pick([2, 4, 5]), pick([undefined, 1, 2])),
    aScale('fine', whole(60, 500), 1, pick([undefined, undefined, 1])),
  ];
  const bar = chance(0.5) ? Math.max(5, Math.floor(batch / whole(4, 25))) : undefined;
  return {
    workshop: {
      name: 'Small',
      operators: ['Someone'],
      scales: new Map(scales.map((scale) => [scale.id, scale])),
      vessels: new Map(vessels.map((vessel) => [vessel.id, vessel])),
      ingredients,
      checkWeights: [],
    },
    formula: {
      id: 'f',
      name: 'F',
      version: '1',
      bar: bar === undefined ? undefined : mass(bar),
      bars: bar === undefined ? undefined : Math.max(1, Math.floor(batch / bar)),
      batch: bar === undefined ? mass(batch) : undefined,
      lossPpm: chance(0.5) ? 0 : whole(0, 60_000),
      phases: phases(dice, draws),
      cautions: [],
    },
  };
}

function phases({ whole, chance }: Dice, draws: readonly FormulaDraw[]): Phase[] {
  const cut = whole(1, draws.length);
  const first = draws.slice(0, cut);
  const rest = draws.slice(cut);
  if (rest.length === 0) return [{ id: 'A', name: 'a', vessel: 'bowl', work: [...first, aStep('mix')] }];
  const late = whole(0, rest.length);
  const pour = aStep('combine', 'jug', 'bowl');
  const second = [...rest.slice(0, late), ...(chance(0.7) ? [pour] : []), aStep('mix'), ...rest.slice(late)];
  return [
    { id: 'A', name: 'a', vessel: 'jug', work: [...first, aStep('melt')] },
    { id: 'B', name: 'b', vessel: 'bowl', work: second },
  ];
}

/** What went in before: mostly right, sometimes kept although it was too little or too much; cups keep some back. */
function someNets({ chance, real, whole }: Dice, scales: Workshop['scales']): Nets {
  return (draw, target) => {
    const d = scales.get(draw.scale)?.d ?? 1;
    const off = chance(0.7) ? 1 : real(0.85, 1.15);
    const net = Math.max(1, Math.round((target * off) / d)) * d;
    return { net: mass(net), residue: mass(chance(0.5) ? 0 : whole(0, Math.floor(net / 10))) };
  };
}

/** A batch with too much on the pan: the first that can be planned at all, of those that a seed gives. */
export function randomBatch(seed: number): RescueInput {
  const roll = dice(seed);
  for (;;) {
    const found = tryBatch(roll);
    if (found) return found;
  }
}

function tryBatch(roll: Dice): RescueInput | undefined {
  const { workshop, formula } = aWorld(roll);
  const planned = makePlan(workshop, formula, undefined, TODAY);
  if (!planned.ok) return undefined;
  const { plan } = planned;
  const draws = plan.tasks.filter((task): task is PlannedDraw => task.kind === 'draw');
  const draw = roll.pick(draws);
  const d = workshop.scales.get(draw.scale)?.d ?? mass(1);
  const most = roll.chance(0.7) ? 0.25 : 0.8;
  const least = roll.chance(0.85) ? draw.high + d : d;
  const net = Math.max(least, Math.ceil((draw.target * (1 + roll.real(0.01, most))) / d) * d);
  const nets = someNets(roll, workshop.scales);
  const isHeld = roll.chance(0.85);
  const kept: Nets = (each, target) => (each.id === draw.id ? { net: mass(net) } : nets(each, target));
  const next = plan.tasks[plan.tasks.indexOf(draw) + roll.whole(1, 4)]?.id ?? 'none';
  const { state, facts } = isHeld ? walkTo(plan, draw.id, mass(net) as Mass, nets) : walkTo(plan, next, null, kept);
  const own = formula.phases
    .flatMap(({ work }) => work)
    .find((item) => item.kind === 'draw' && item.ingredient === draw.ingredient);
  const limits: Ceiling[] =
    roll.chance(0.3) && own?.kind === 'draw'
      ? [
          {
            ingredients: [draw.ingredient],
            ppm: Math.floor(own.share * roll.real(0.97, 1.15)),
            dryingPpm: roll.chance(0.5) ? 0 : 30_000,
            why: 'invented',
          },
        ]
      : [];
  const input: RescueInput = {
    workshop,
    formula: { ...formula, limits },
    state,
    held: isHeld ? { draw: draw.id, net: mass(net) } : null,
    used: stockUsed(facts, workshop),
    today: TODAY,
  };
  return roll.chance(0.3) ? onceMore(roll, input, facts, nets) : input;
}

/** One offer is accepted, the batch goes on, and some way further there is too much again. */
function onceMore(roll: Dice, input: RescueInput, facts: readonly Fact[], nets: Nets): RescueInput {
  // Above a thousand micrograms the planner's steps would be more than one.
  const offers = planRescue(input).offers.filter(({ plan }) => plan.mass <= 1000);
  if (offers.length === 0) return input;
  const { held, workshop } = input;
  const offer = roll.pick(offers);
  const rescued = [...facts, ...sealed([rescuedBy(offer, held)], facts.length)];
  const open = offer.plan.tasks.filter((task): task is PlannedDraw => {
    return task.kind === 'draw' && task.id !== held?.draw && input.state.draws[task.id]?.net == null;
  });
  if (open.length === 0) return input;
  const draw = roll.pick(open);
  const d = workshop.scales.get(draw.scale)?.d ?? mass(1);
  const net = Math.max(draw.high + d, Math.ceil((draw.target * (1 + roll.real(0.01, 0.5))) / d) * d);
  const kept: Nets = (each, target) =>
    each.id === held?.draw ? { net: mass(Math.max(held.net, each.low)) } : nets(each, target);
  const come = walkOn(rescued, draw.id, mass(net), kept);
  const used = stockUsed(come.facts, workshop);
  return { ...input, state: come.state, held: { draw: draw.id, net: mass(net) }, used };
}
