/** How a formula's file writes a share: `5 %`, `3.5` parts, or `rest`. */
import type { z } from 'zod';
import { readDecimal } from '../mass/text.ts';
import { quantity, readPercent } from '../workshop/quantities.ts';
import { WHOLE } from './checkFormula.ts';
import { fraction } from './fraction.ts';
import type { Counting, WrittenShare } from './shares.ts';

const SHARE = 'a share such as `5 %`, with at most four decimals';
const PARTS = 'parts such as `3.5`, without a sign (the formula says `shares: parts`)';
const PARTS_DECIMALS = 6;
const MOST_PARTS = 100_000_000n;

function readParts(text: string): WrittenShare | undefined {
  const decimal = readDecimal(text);
  if (decimal === undefined || decimal.scale > PARTS_DECIMALS) return undefined;
  return { kind: 'parts', of: fraction(decimal.digits, 10n ** BigInt(decimal.scale)) };
}

function readPercentShare(text: string): WrittenShare | undefined {
  if (text === 'rest') return { kind: 'rest' };
  const ppm = readPercent(text);
  return ppm === undefined ? undefined : { kind: 'percent', of: fraction(BigInt(ppm), BigInt(WHOLE)) };
}

function refuse(share: WrittenShare): string | undefined {
  if (share.kind === 'rest') return undefined;
  const { n, d } = share.of;
  if (share.kind === 'percent') return n > 0n && n <= d ? undefined : 'a share above 0 % and at most 100 %';
  return n > 0n && n <= d * MOST_PARTS ? undefined : 'parts above zero, with at most six decimals';
}

/** A share of an ingredient, or of a phase. */
export function share(counting: Counting): z.ZodType<WrittenShare, string> {
  return counting === 'parts' ? quantity(PARTS, readParts, refuse) : quantity(SHARE, readPercentShare, refuse);
}

/** A share of active matter: there is no rest of it. */
export function activeShare(counting: Counting): z.ZodType<WrittenShare, string> {
  const read = counting === 'parts' ? readParts : readPercentShare;
  const example = counting === 'parts' ? '`4.5`' : '`4.5 %`';
  return quantity(
    `a share of active matter such as ${example}`,
    (text) => (text === 'rest' ? undefined : read(text)),
    refuse,
  );
}

/**
 * How a formula's text counts. Looked up before it is read, so that each share is judged where it stands, along with
 * all that is wrong elsewhere.
 */
export function countingOf(text: string): Counting {
  return /^shares:[ \t]*["']?parts\b/m.test(text) ? 'parts' : 'percent';
}
