import { expect, it } from 'vitest';
import { mass } from '../../src/mass/mass.ts';
import { splitByShares } from '../../src/mass/split.ts';
import { consideredAt } from '../../src/plan/plan.ts';
import { BATCH_DAY } from './fixtures.ts';
import { randomShop } from './randomShop.ts';
import { type Lump, search, sides } from './search.ts';

const RUNS = Number(process.env.PLAN_RUNS ?? 2_000);
const FIRST = Number(process.env.SEED ?? 20_261_130);

/** What comes out of each lot, in order of expiry; null where a lot would give too little for a part. */
function lumpsOf(lots: readonly { onHand: number; jar: string | undefined }[], target: number, least: number) {
  const lumps: (Omit<Lump, 'jar'> & { jar: string | undefined })[] = [];
  let wanted = target;
  for (const { onHand, jar } of lots) {
    if (wanted === 0) break;
    const amount = Math.min(onHand, wanted);
    lumps.push({ amount, onHand, jar });
    wanted -= amount;
  }
  if (wanted > 0 || (lumps.length > 1 && lumps.some(({ amount }) => amount < least))) return null;
  return lumps;
}

it(`the planner's pick is the best of all scales, ways, vessels and parts, on random workshops (from seed ${FIRST})`, () => {
  const counts = { draws: 0, refused: 0, cut: 0, guarded: 0 };
  for (let seed = FIRST; seed < FIRST + RUNS; seed++) {
    const { workshop, formula } = randomShop(seed, false);
    const considered = consideredAt(workshop, formula, formula.batch ?? mass(0), BATCH_DAY);
    const bowl = workshop.vessels.get('bowl');
    const draws = formula.phases.flatMap(({ work }) => work).filter((item) => item.kind === 'draw');
    const targets = splitByShares(
      formula.batch ?? mass(0),
      draws.map(({ share }) => share),
    );
    let inBowl = 0;
    draws.forEach((draw, index) => {
      const target = targets[index] ?? mass(0);
      const { under, over } = sides(target, draw.tolerance);
      const chosen = considered.find(({ id }) => id === `A${index + 1}`)?.chosen;
      if (under >= target || !bowl) {
        expect(chosen).toBeUndefined();
        return;
      }
      const ingredient = workshop.ingredients.get(draw.ingredient);
      const before = inBowl;
      inBowl += target + over;
      const lumps = lumpsOf(ingredient?.lots ?? [], target, 2 * Math.max(under, over));
      if (lumps === null) return;
      const lots = lumps.map((lump) => ({ ...lump, jar: workshop.vessels.get(lump.jar ?? '') }));
      const cups = [...workshop.vessels.values()].filter(({ id }) => id.startsWith('cup'));
      const scales = [...workshop.scales.values()];
      const at = { draw, target, lots, density: ingredient?.density, bowl, inBowl: before, scales, cups };
      const [best] = search(at);
      const picked = chosen?.ok
        ? {
            way: chosen.choice.way,
            scale: chosen.choice.scale.id,
            vessel: chosen.choice.way === 'cup' ? chosen.choice.on[0]?.id : '',
            parts: chosen.choice.pieces.length,
            guard: chosen.choice.fit.judged.guard,
          }
        : undefined;
      expect(picked, `seed ${seed}, draw ${index + 1}`).toEqual(best);
      counts.draws += 1;
      if (!best) counts.refused += 1;
      else if (best.parts > lots.length) counts.cut += 1;
      if (best && best.guard > 0) counts.guarded += 1;
    });
  }
  if (process.env.PLAN_RUNS) console.info(counts);
  // It has met all kinds, else it has shown nothing.
  for (const count of Object.values(counts)) expect(count).toBeGreaterThan(RUNS / 100);
}, 120_000);
