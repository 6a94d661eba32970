/** Masses as decimal text, read and printed without passing through a floating-point number. */
import { type Mass, mass } from './mass.ts';
import type { Rounding } from './rounding.ts';
import { fromMicrograms, isUnit, toMicrograms, type Unit } from './units.ts';

/** A decimal number taken apart: its value is `digits * 10^-scale`. */
export interface Decimal {
  readonly digits: bigint;
  readonly scale: number;
}

const DECIMAL = /^([+-]?)(\d+)(?:\.(\d+))?$/;
/** More digits than any scale or recipe has; keeps hostile text from becoming a huge number. */
const MOST_DIGITS = 30;

/**
 * Reads plain decimal text such as `12`, `-0.050` or `+3.7`: digits, at most one point, a sign. No exponent, no
 * thousands separators, no white space inside.
 * @returns undefined when the text is anything else, or longer than 30 digits
 */
export function readDecimal(text: string): Decimal | undefined {
  if (text.length > MOST_DIGITS + 2) return undefined;
  const found = DECIMAL.exec(text);
  if (!found) return undefined;
  const [, sign = '', whole = '', fraction = ''] = found;
  const digits = BigInt(whole + fraction);
  return { digits: sign === '-' ? -digits : digits, scale: fraction.length };
}

/**
 * Reads a number in a known unit, e.g. `readMass('12.5', 'g')`.
 * @returns undefined when the text is no plain decimal number or the mass is too large to be exact
 */
export function readMass(text: string, unit: Unit): Mass | undefined {
  const decimal = readDecimal(text);
  if (!decimal) return undefined;
  try {
    return toMicrograms(decimal.digits, decimal.scale, unit);
  } catch {
    return undefined;
  }
}

/**
 * Reads a number with its unit, as people write it in a file: `5 kg`, `0.1g`, `-3.25 oz`.
 * @returns undefined when the text is anything else; a number without a unit is refused, never guessed
 */
export function readMassWithUnit(text: string): Mass | undefined {
  const found = /^\s*([+-]?[\d.]+)\s*([a-z]+)\s*$/.exec(text);
  if (!found?.[1] || !found[2] || !isUnit(found[2])) return undefined;
  return readMass(found[1], found[2]);
}

/** How a mass is to be printed. */
export interface MassFormat {
  /** Unit of the printed number. */
  readonly unit?: Unit;
  /** Digits after the point, 0 to 9. */
  readonly decimals: number;
  /** Print `+` before positive masses. */
  readonly plus?: boolean;
  readonly rounding?: Rounding;
}

/** The number of a mass as text with a fixed count of decimals, without the unit: `92.8`. */
export function printMass(
  of: Mass,
  { unit = 'g', decimals, plus = false, rounding = 'half-even' }: MassFormat,
): string {
  const digits = fromMicrograms(of, decimals, unit, rounding);
  const sign = digits < 0n ? '-' : plus && digits > 0n ? '+' : '';
  const bare = (digits < 0n ? -digits : digits).toString().padStart(decimals + 1, '0');
  if (decimals === 0) return sign + bare;
  return `${sign}${bare.slice(0, -decimals)}.${bare.slice(-decimals)}`;
}

/**
 * A mass as exact decimal grams for files and JSON: at least three decimals, up to six where the mass has them, so
 * that nothing is lost: `0.120`, `0.000001`.
 */
export function exactGrams(of: Mass): string {
  const six = printMass(of, { decimals: 6 });
  return six.replace(/0{1,3}$/, '');
}

/** The decimals that a scale interval asks for: 1 for 0.1 g or 0.2 g, 2 for 0.05 g, 0 for 1 g and more. */
export function decimalsOf(interval: Mass): number {
  for (let decimals = 0; decimals < 6; decimals++) {
    if (interval % 10 ** (6 - decimals) === 0) return decimals;
  }
  return 6;
}

/** The multiple of `interval` nearest to a number of micrograms (ties away from zero), as a scale would show it. */
export function onGrid(of: number, interval: Mass): Mass {
  const rest = Math.abs(of) % interval;
  const steps = (Math.abs(of) - rest) / interval + (rest * 2 >= interval ? 1 : 0);
  return mass(Math.sign(of) * steps * interval);
}
