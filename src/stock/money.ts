/** Money without floating-point numbers: whole parts of 10^-15 of the workshop's money. */
import type { Mass } from '../mass/mass.ts';
import { divideRounded } from '../mass/rounding.ts';
import { readDecimal } from '../mass/text.ts';

/** Exact: micrograms times millionths of a price per kilogram. */
export type Money = bigint;

/** A price per kilogram has at most so many decimals. */
const PRICE_DECIMALS = 6;
/** Micrograms in a kilogram are 10^9. */
const MONEY_DECIMALS = PRICE_DECIMALS + 9;

/**
 * What a mass costs, exactly.
 * @param pricePerKg plain decimal text, at most six decimals, not below zero
 * @returns undefined when the text is no such price
 */
export function costOf(mass: Mass, pricePerKg: string): Money | undefined {
  const price = readDecimal(pricePerKg);
  if (!price || price.digits < 0n || price.scale > PRICE_DECIMALS) return undefined;
  return BigInt(mass) * price.digits * 10n ** BigInt(PRICE_DECIMALS - price.scale);
}

/**
 * Money as decimal text, rounded once (half away from zero).
 * @param among divided into so many equal parts first
 */
export function printMoney(money: Money, { decimals = 2, among = 1 } = {}): string {
  const parts = divideRounded(money, BigInt(among) * 10n ** BigInt(MONEY_DECIMALS - decimals), 'half-away');
  const digits = (parts < 0n ? -parts : parts).toString().padStart(decimals + 1, '0');
  const text = decimals === 0 ? digits : `${digits.slice(0, -decimals)}.${digits.slice(-decimals)}`;
  return parts < 0n ? `-${text}` : text;
}
