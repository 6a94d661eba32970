/** What a maker typed from her scale's display -> number and unit. */
import { type Decimal, readDecimal } from '../mass/text.ts';
import type { Unit } from '../mass/units.ts';

/** Units that a wire profile can have. */
export type WireUnit = Extract<Unit, 'kg' | 'g' | 'mg' | 'lb' | 'oz' | 'gr'>;

/** How people and scales write units, in small letters, without a point. `gr` alone is told by the display. */
export const SPELLINGS: Readonly<Record<WireUnit, readonly string[]>> = {
  kg: ['kg', 'kgs', 'kilo', 'kilos', 'kilogram', 'kilograms'],
  g: ['g', 'gr', 'gm', 'gms', 'gram', 'grams'],
  mg: ['mg', 'mgs', 'milligram', 'milligrams'],
  lb: ['lb', 'lbs', 'pound', 'pounds'],
  oz: ['oz', 'ozs', 'ounce', 'ounces'],
  gr: ['gr', 'grn', 'gn', 'grain', 'grains'],
};

export interface ShownNumber {
  readonly number: Decimal;
  /** undefined: typed without one, or with a word that is none. */
  readonly unit: WireUnit | undefined;
}

/** Reads `296.4 g`, `-12,0g`, `+5`; undefined when it is no number. */
export function readShown(typed: string): ShownNumber | undefined {
  const found = /^\s*([+\-\u2212]?)\s*(\d{1,12}(?:[.,]\d{1,6})?)\s*([A-Za-z]{0,12})\.?\s*$/.exec(typed);
  if (!found) return undefined;
  const [, sign = '', digits = '', word = ''] = found;
  const number = readDecimal((sign === '' || sign === '+' ? '' : '-') + digits.replace(',', '.'));
  return number && { number, unit: unitWritten(word) };
}

/** A typed unit: `gr` is the grain here, as in all our files; a scale's own `gr` is what its display means by it. */
function unitWritten(word: string): WireUnit | undefined {
  const small = word.toLowerCase();
  for (const unit of ['kg', 'gr', 'g', 'mg', 'lb', 'oz'] as const) {
    if (small === unit || (small !== 'gr' && SPELLINGS[unit].includes(small))) return unit;
  }
  return undefined;
}

/** Whether two decimals have the same value but for so many of their last places, whatever zeros they end in. */
export function isNear(a: Decimal, b: Decimal, room: bigint): boolean {
  const scale = Math.max(a.scale, b.scale);
  const [left, right] = [a, b].map((each) => each.digits * 10n ** BigInt(scale - each.scale));
  const apart = (left ?? 0n) - (right ?? 0n);
  return (apart < 0n ? -apart : apart) <= room;
}
