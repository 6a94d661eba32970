/** What may be wrong where the pan of the present draw does not show what it should: pure questions, like those of `look.ts`. */
import { canBeTheSame, netOf } from '../accept/standing.ts';
import { wanted } from '../facts/wanted.ts';
import { type Mass, mass, minus, size } from '../mass/mass.ts';
import { MICROGRAMS_IN, type Unit } from '../mass/units.ts';
import { baseNow, drawNow, expectedLoad, panNow, type Scene, scaleOf, standing } from './look.ts';

/**
 * The unit that the display may have been set to, if what stands there is just the vessel of the present draw by that
 * unit. A display that sends no unit can be set to another between two vessels, when no number jumps.
 */
export function otherUnitNow(scene: Scene): Unit | undefined {
  const draw = drawNow(scene);
  if (!draw || standing(scene) !== 'wrong') return undefined;
  const { load } = panNow(scene);
  const scale = scaleOf(scene, draw.scale);
  const base = baseNow(scene);
  return UNITS.find((unit) => {
    const grams = gramsIn(unit);
    const truly = mass(Math.round(load * grams));
    const rounding = Math.ceil((scale.d / 2) * grams);
    if (base === null) {
      const { load: usual, within } = expectedLoad(scene, draw);
      return size(minus(truly, usual)) <= within + rounding;
    }
    // With something in it any lighter load could be the vessel by some unit; only a heavier one says something.
    return grams < 1 && canBeTheSame(netOf(draw.way, base, truly), wanted(scene.batch, draw).high, scale);
  });
}

const UNITS: readonly Unit[] = (Object.keys(MICROGRAMS_IN) as Unit[]).filter((unit) => unit !== 'g');

/** Grams in one of the unit. */
function gramsIn(unit: Unit): number {
  const { numerator, denominator } = MICROGRAMS_IN[unit];
  return Number(numerator) / Number(denominator) / 1_000_000;
}

/** What is there is far too little for any vessel: something is spilt on the pan, or its zero has moved. */
export function isLittle(scene: Scene): boolean {
  const tares = Object.values(scene.batch.plan.vessels).map(({ tare }): Mass => tare);
  const isSmall = standing(scene) === 'wrong' && panNow(scene).load < Math.min(...tares) / 2;
  return isSmall && otherUnitNow(scene) === undefined;
}
