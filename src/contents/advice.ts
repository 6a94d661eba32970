/** What set-point would do, and what the one in use gives away: numbers and sentences. */
import type { Bars } from '../facts/bars.ts';
import { type Mass, mass, minus } from '../mass/mass.ts';
import { decimalsOf, printMass } from '../mass/text.ts';
import { spreadOf } from '../stats/spread.ts';
import { type Cost, hasPrices, moneyWords } from '../stock/cost.ts';
import type { Drying } from './drying.ts';
import { dryingInWords, grams2, ruleInWords } from './inWords.ts';
import type { LabelUnit } from './maximumVariation.ts';
import { type GivenAway, givenAway, type OwnSpread, type SetPoint, setPointFor } from './setPoint.ts';

/** From fewer bars the spread is not learnt: the far ends of a lot would be guessed from nothing. */
const FEWEST_BARS = 12;

/**
 * How the maker's bars scatter about their set-point, as earlier batches show it: every bar that was weighed in, also
 * those outside the band.
 * @param earlier bars of other batches of the same formula, with the set-point that they were aimed at
 * @param half half of the band: without enough bars all that is known is that they lie within it, which counts as a
 *   rectangular distribution (JCGM 100, 4.3.7)
 */
export function ownSpread(earlier: readonly Bars[], half: Mass): OwnSpread {
  const off = earlier.flatMap(({ bars }) =>
    bars.filter(({ verdict }) => verdict !== 'short').map(({ net, aim }) => minus(net, aim.setPoint)),
  );
  const spread = off.length < FEWEST_BARS ? undefined : spreadOf(off);
  return spread === undefined ? { s: half / Math.sqrt(3), n: null } : { s: spread.s, n: spread.n };
}

export interface AdviceInput {
  readonly label: Mass;
  readonly unit: LabelUnit;
  readonly setPoint: Mass;
  readonly spread: OwnSpread;
  readonly drying: Drying;
  readonly bars: number;
  readonly d: Mass;
  readonly cost: Cost;
  /** What the cost is of. */
  readonly mix: Mass | null;
}

export interface Advice {
  readonly least: SetPoint;
  readonly away: GivenAway;
  /** With all numbers. */
  readonly lines: readonly string[];
  /** In short, for the screen. */
  readonly short: string;
}

export function adviseSetPoint(input: AdviceInput): Advice {
  const { label, setPoint, spread, drying, bars, d } = input;
  const least = setPointFor(input);
  const away = givenAway(setPoint, label, drying, bars);
  const short = (of: Mass) => printMass(of, { decimals: decimalsOf(of) });
  const known = spread.n === null ? 'taken for as wide as the band' : `from ${spread.n} bars`;
  const below = `The set-point of ${short(setPoint)} g is ${short(minus(least.setPoint, setPoint))} g below that: the lot may fail.`;
  const gives = `${grams2(away.eachUg)} a bar, ${grams2(away.lot)} in ${bars} bars${moneyOf(away.lot, input)}`;
  const would = `Label ${short(label)} g: ${printMass(least.setPoint, { decimals: decimalsOf(d) })} g would do.`;
  const lines = [
    `Label ${short(label)} g, spread ${grams2(spread.s)} (${known}), ${dryingInWords(drying)}: the smallest set-point is ${printMass(least.setPoint, { decimals: decimalsOf(d) })} g (${ruleInWords(least.governs.rule)}).`,
    setPoint < least.setPoint ? below : `The set-point of ${short(setPoint)} g gives away ${gives}.`,
  ];
  const given = setPoint < least.setPoint ? below : `${short(setPoint)} g gives away ${gives}.`;
  return { least, away, lines, short: `${would} ${given}` };
}

/** Its share of what the material cost; nothing where no price is known. */
function moneyOf(of: Mass, { cost, mix }: AdviceInput): string {
  if (mix === null || mix <= 0 || !hasPrices(cost)) return '';
  return `, ${moneyWords((cost.material * BigInt(mass(of))) / BigInt(mix), cost)}`;
}
