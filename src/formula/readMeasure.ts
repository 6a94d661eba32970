/** What a formula wants measured at a check: `{ what: pH, from: 5.0, to: 5.6 }`. */
import { z } from 'zod';
import { type Decimal, readDecimal } from '../mass/text.ts';
import { plainText, quantity } from '../workshop/quantities.ts';
import type { Measure } from './model.ts';

const MOST_DIGITS = 12;

/** A measured value as it is written down, `5.4`: a plain decimal number; undefined for any other text. */
export function readValue(text: string): string | undefined {
  return text.length <= MOST_DIGITS && readDecimal(text) !== undefined ? text : undefined;
}

const value = quantity('a number such as `5.4`', readValue);

/** Whether a number is at least another; false where one of them is no number. */
function isAtLeast(a: Decimal | undefined, b: Decimal | undefined): boolean {
  return a !== undefined && b !== undefined && a.digits * 10n ** BigInt(b.scale) >= b.digits * 10n ** BigInt(a.scale);
}

/** Whether a value lies in the wanted window, its ends included. */
export function isInWindow(measured: string, { from, to }: Pick<Measure, 'from' | 'to'>): boolean {
  const [low, found, high] = [readDecimal(from), readDecimal(measured), readDecimal(to)];
  return isAtLeast(found, low) && isAtLeast(high, found);
}

/** The schema of a check's key `measure`. */
export const measure: z.ZodType<Measure, unknown> = z
  .strictObject({ what: plainText('what is measured, such as `pH`', 40), from: value, to: value })
  .refine(({ from, to }) => isAtLeast(readDecimal(to), readDecimal(from)), {
    error: 'a number not below `from`',
    path: ['to'],
  });
