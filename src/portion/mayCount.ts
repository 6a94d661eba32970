/**
 * May this bar be counted? The one rule, as for a draw: stood settled for the dwell time on a scale that can be believed,
 * against an empty pan that was seen before and after, wholly lifted off, and in its band.
 */
import { judge } from '../accept/band.ts';
import { type Certainty, driftBound, weighingBudget } from '../accept/budget.ts';
import { guardBand } from '../accept/uncertainty.ts';
import { type Mass, mass, minus, plus, size } from '../mass/mass.ts';
import type { Aim, BarScale, InHand, Stood } from './model.ts';

/** How well a bar's weight is known. @param shift how far the zero had moved when the empty pan was seen after it */
export function certaintyOfBar(scale: BarScale, net: Mass, shift: Mass): Certainty {
  const { d, stated, measured, weighings, slope } = scale;
  return weighingBudget({ net, d, stated, measured, weighings, slope, drift: driftBound(shift, d) });
}

/**
 * @param shift the empty pan's reading after the bar minus the one before
 * @returns undefined when it may be counted, else why not
 */
export function whyNot(stood: Stood, shift: Mass, aim: Aim, scale: BarScale): InHand['why'] | undefined {
  if (stood.doubted || !stood.zeroKnown) return 'doubted';
  const verdict = judge(stood.net, aim);
  if (verdict !== 'in') return verdict;
  if (!stood.dwelt) return 'early';
  // The zero has moved by more than the weight is uncertain anyway, so far that the bar might be outside its band.
  const { uncertainty } = certaintyOfBar(scale, stood.net, 0 as Mass);
  // Not all that was weighed is in the hand.
  if (size(stood.remained) > uncertainty) return 'left some';
  const off = size(shift);
  const mightBeOut = judge(minus(stood.net, off), aim) !== 'in' || judge(plus(stood.net, off), aim) !== 'in';
  return off > uncertainty && mightBeOut ? 'zero moved' : undefined;
}

/** Half of the usual band: so many parts of the set-point (2 %; common practice, no source). */
export const USUAL_BAND_PARTS = 50;

/**
 * The band that bars are judged by: as wanted, moved inward where the scale's uncertainty is not small against it.
 * @param half distance from the set-point to either end
 * @returns undefined where nothing would be left of it
 */
export function barBand(setPoint: Mass, half: Mass, scale: BarScale): { low: Mass; high: Mass } | undefined {
  const { uncertainty } = certaintyOfBar(scale, setPoint, 0 as Mass);
  const kept = minus(half, guardBand(half, uncertainty));
  return kept < scale.d ? undefined : { low: minus(setPoint, kept), high: mass(setPoint + kept) };
}
