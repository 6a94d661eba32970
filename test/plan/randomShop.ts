/** Random workshops and formulas for the planner, from a seed. Round numbers, so that limits are often met exactly. */
import type { Formula, FormulaDraw, Tolerance, Way } from '../../src/formula/model.ts';
import { mass } from '../../src/mass/mass.ts';
import { seededRandom } from '../../src/simulate/seededRandom.ts';
import type { Ingredient, Lot, Scale, Vessel, Workshop } from '../../src/workshop/model.ts';

const G = 1_000_000;

export interface RandomShop {
  readonly workshop: Workshop;
  readonly formula: Formula;
}

/** @param several whether there may be several of a vessel, and a second phase that the first is tipped into */
export function randomShop(seed: number, several: boolean): RandomShop {
  const chance = seededRandom(seed);
  const random = () => chance.next();
  const below = (most: number) => Math.floor(random() * most);
  const pick = <T>(...from: readonly T[]): T => from[below(from.length)] as T;
  const maybe = <T>(value: T, often = 0.5): T | undefined => (random() < often ? value : undefined);

  const scales = Array.from({ length: 1 + below(3) }, (_, index): Scale => {
    const d = several
      ? pick(0.01, 0.02, 0.1, 0.5) * G
      : pick(0.001, 0.002, 0.005, 0.01, 0.02, 0.05, 0.1, 0.2, 0.5, 1) * G;
    const steps = pick(5_000, 10_000, 20_000, 30_000, 50_000);
    return {
      id: `scale-${index}`,
      capacity: mass(d * steps),
      d: mass(d),
      repeatability: maybe(mass(Math.round(d * pick(0.3, 0.5, 0.8, 1.5)))),
      port: undefined,
      profile: undefined,
      dwellMs: 1500,
      sleepsAfterMs: undefined,
    };
  });
  const vessel = (id: string, tare: number, usableMl: number | undefined, count?: number): Vessel => {
    return { id, name: `the ${id}`, tare: mass(tare * G), usableMl, note: undefined, ...(count ? { count } : {}) };
  };
  const cups = Array.from({ length: below(4) }, (_, index) =>
    vessel(`cup-${index}`, pick(10, 20, 31, 50, 120), pick(10, 25, 50, 100, 250)),
  );
  const jars = Array.from({ length: 4 }, (_, index) => vessel(`jar-${index}`, pick(20, 36, 90), undefined));
  const bowl = several
    ? vessel('bowl', pick(100, 400), pick(300, 800, 2_000), pick(1, 2, 3, 4))
    : vessel('bowl', pick(20, 100, 400), 1_000_000);
  const pot = vessel('pot', pick(200, 900), 1_000_000);

  const tolerance = (): Tolerance => {
    const side = () => ({ ppm: several ? pick(20_000, 50_000) : pick(5_000, 10_000, 20_000, 50_000, 100_000) });
    if (!several && random() < 0.2) {
      const [under, over] = [pick(0.02, 0.05, 0.2, 1), pick(0.02, 0.05, 0.2, 1)].map((grams) => mass(grams * G));
      return { under: { mass: under ?? mass(G) }, over: { mass: over ?? mass(G) }, floor: undefined };
    }
    return { under: side(), over: side(), floor: maybe(mass(pick(0.01, 0.05, 0.5) * G), 0.3) };
  };
  const ingredients: Ingredient[] = [];
  const draw = (share: number): FormulaDraw => {
    const id = `ingredient-${ingredients.length}`;
    const lots = Array.from({ length: pick(1, 1, 1, 2, 3) }, (_, index): Lot => {
      const jar = index === 0 && ingredients.length < 4 ? maybe(`jar-${ingredients.length}`, 0.7) : undefined;
      const onHand = mass(several ? pick(800, 20_000) * G : pick(10, 50, 120, 400, 5_000, 20_000) * G);
      return { id: `lot-${index}`, onHand, expires: `2027-01-0${index + 1}`, pricePerKg: undefined, jar };
    });
    ingredients.push({
      id,
      name: id,
      inci: id,
      density: maybe(pick(0.1, 0.5, 0.8, 1, 1.25), 0.85),
      lots,
      cautions: [],
    });
    return {
      kind: 'draw',
      ingredient: id,
      share,
      tolerance: tolerance(),
      over: pick('never', 'never', 'ask', 'forgiving'),
      way: maybe(pick<Way>('add', 'cup', 'subtract'), several ? 0.05 : 0.25),
      scale: maybe(pick(...scales).id, 0.1),
      cup: cups.length > 0 && !several ? maybe(pick(...cups).id, 0.15) : undefined,
      note: undefined,
    };
  };

  const shares = [
    pick(1_000, 5_000, 20_000, 100_000),
    pick(2_000, 10_000, 50_000, 200_000),
    pick(1_000, 30_000, 300_000),
  ];
  const rest = 1_000_000 - shares.reduce((sum, share) => sum + share, 0);
  const [a, b, c, d] = [...shares, rest].map(draw) as [FormulaDraw, FormulaDraw, FormulaDraw, FormulaDraw];
  const tip = {
    kind: 'step',
    step: 'combine',
    say: 'Tip it.',
    vessel: 'bowl',
    into: 'pot',
    forMs: undefined,
    times: undefined,
    until: undefined,
    cautions: [],
  } as const;
  const formula: Formula = {
    id: 'random',
    name: 'Random',
    version: '1',
    bar: undefined,
    bars: undefined,
    batch: mass(pick(20, 100, 500, 1_000, 2_000, 4_000) * G),
    lossPpm: 0,
    phases: several
      ? [
          { id: 'A', name: 'A', vessel: 'bowl', work: [a, b, c] },
          { id: 'B', name: 'B', vessel: 'pot', work: [d, tip] },
        ]
      : [{ id: 'A', name: 'A', vessel: 'bowl', work: [a, b, c, d] }],
    cautions: [],
  };
  const byId = <T extends { readonly id: string }>(all: readonly T[]) => new Map(all.map((each) => [each.id, each]));
  const workshop: Workshop = {
    name: 'Random',
    operators: ['Somebody'],
    scales: byId(scales),
    vessels: byId([bowl, ...(several ? [pot] : []), ...cups, ...jars]),
    ingredients: byId(ingredients),
    checkWeights: [],
  };
  return { workshop, formula };
}
