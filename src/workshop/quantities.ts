/**
 * The pieces that hand-written files are made of: masses, times, volumes, shares, dates, names. Each is a schema over
 * text, whose message completes the sentence "expected ...".
 */
import { z } from 'zod';
import { cleanText } from '../facts/cleanText.ts';
import { widthOf } from '../facts/textWidth.ts';
import type { Mass } from '../mass/mass.ts';
import { divideRounded } from '../mass/rounding.ts';
import { readDecimal, readMassWithUnit } from '../mass/text.ts';

/** A schema that reads a quantity out of text; `refuse` gives what is expected instead of an absurd value. */
export function quantity<T>(
  expected: string,
  read: (text: string) => T | undefined,
  refuse: (value: T) => string | undefined = () => undefined,
): z.ZodType<T, string> {
  return z.string(expected).transform((text, context) => {
    const value = read(text.trim());
    const message = value === undefined ? expected : refuse(value);
    if (value === undefined || message !== undefined) {
      context.addIssue({ code: 'custom', message: message ?? expected });
      return z.NEVER;
    }
    return value;
  });
}

/** `digits * 10^-scale * times` as a whole number; undefined when it is not whole (or is, with `round`, past 2^53). */
function whole(text: string, times: bigint, rounding: 'exact' | 'nearest'): number | undefined {
  const decimal = readDecimal(text);
  if (!decimal) return undefined;
  const product = decimal.digits * times;
  const unit = 10n ** BigInt(decimal.scale);
  if (rounding === 'exact' && product % unit !== 0n) return undefined;
  const result = Number(divideRounded(product, unit, 'half-even'));
  return Number.isSafeInteger(result) ? result : undefined;
}

/** A number with one of some units, as a whole number of the smallest: `{ ml: 1n, l: 1000n }`. */
function withUnit(
  text: string,
  units: Readonly<Record<string, bigint>>,
): { number: string; times: bigint } | undefined {
  const found = /^([+-]?[\d.]+)\s*([a-z/%]+)$/.exec(text);
  const times = found?.[2] !== undefined && Object.hasOwn(units, found[2]) ? units[found[2]] : undefined;
  return found?.[1] === undefined || times === undefined ? undefined : { number: found[1], times };
}

/** Tonnes, in micrograms: more than a small workshop ever weighs or stores. */
const MOST_MASS = 100_000_000_000_000;

/** A mass with its unit: `5 kg`, `0.1 g`. */
export function massOf(example: string, { zero = false }: { zero?: boolean } = {}): z.ZodType<Mass, string> {
  return quantity(`a mass such as \`${example}\``, readMassWithUnit, (mass) => {
    if (mass < 0 || (mass === 0 && !zero)) return `a mass above zero, such as \`${example}\``;
    return mass > MOST_MASS ? 'a mass below 100 t' : undefined;
  });
}

const TIME_UNITS = { ms: 1n, s: 1_000n, min: 60_000n, h: 3_600_000n };

/** A length of time in milliseconds: `1.5 s`, `180 s`, `5 min`. */
export function timeOf(example: string, leastMs: number, mostMs: number): z.ZodType<number, string> {
  return quantity(
    `a time such as \`${example}\``,
    (text) => {
      const found = withUnit(text, TIME_UNITS);
      return found && whole(found.number, found.times, 'nearest');
    },
    (ms) => {
      if (ms >= leastMs && ms <= mostMs) return undefined;
      return `a time of ${printTime(leastMs)} to ${printTime(mostMs)}`;
    },
  );
}

/** A time in the unit that makes it shortest: `90 s`, `1.5 s`, `24 h`. */
export function printTime(ms: number): string {
  if (ms >= 3_600_000 && ms % 3_600_000 === 0) return `${ms / 3_600_000} h`;
  if (ms >= 60_000 && ms % 60_000 === 0) return `${ms / 60_000} min`;
  return `${ms / 1000} s`;
}

/** A volume in millilitres: `800 ml`, `1.2 l`. */
export const volume: z.ZodType<number, string> = quantity(
  'a volume such as `800 ml` or `1.2 l`',
  (text) => {
    // In whole microlitres first, so that 1.2 l is 1200 ml and not 1199.9999.
    const found = withUnit(text, { ml: 1_000n, l: 1_000_000n });
    const microlitres = found && whole(found.number, found.times, 'nearest');
    return microlitres === undefined ? undefined : microlitres / 1000;
  },
  (ml) => (ml > 0 && ml <= 1_000_000 ? undefined : 'a volume above zero and below 1000 l'),
);

/** A density in g/ml. Bounds: loose petals and flakes at one end, the densest metals' powders at the other. */
export const density: z.ZodType<number, string> = quantity(
  'a density such as `0.42 g/ml`',
  (text) => {
    const found = withUnit(text, { 'g/ml': 1n });
    return found && readDecimal(found.number) ? Number(found.number) : undefined;
  },
  (value) => (value >= 0.01 && value <= 25 ? undefined : 'a density of 0.01 to 25 g/ml'),
);

/** Reads `12.5 %` as parts per million; undefined for anything else, and past four decimals. */
export function readPercent(text: string): number | undefined {
  const found = withUnit(text.trim(), { '%': 10_000n });
  return found && whole(found.number, found.times, 'exact');
}

/** A share in parts per million, written in percent with at most four decimals: `12.5 %`. */
export function percent(example: string, refuse: (ppm: number) => string | undefined): z.ZodType<number, string> {
  return quantity(`a share such as \`${example}\`, with at most four decimals`, readPercent, refuse);
}

/** A plain number of zero or more, such as a price. */
export const amount: z.ZodType<number, string> = quantity(
  'a number such as `9.20`',
  (text) => (readDecimal(text) ? Number(text) : undefined),
  (value) => (value >= 0 && value <= 1_000_000 ? undefined : 'a number of zero or more'),
);

/** A whole number from 1. */
export function count(most: number): z.ZodType<number, string> {
  return quantity(
    `a whole number of 1 to ${most}`,
    (text) => whole(text, 1n, 'exact'),
    (value) => (value >= 1 && value <= most ? undefined : `a whole number of 1 to ${most}`),
  );
}

export const yesNo: z.ZodType<boolean, string> = quantity('`yes` or `no`', (text) => {
  if (text === 'yes' || text === 'true') return true;
  return text === 'no' || text === 'false' ? false : undefined;
});

const DAY = /^(\d{4})-(\d{2})-(\d{2})$/;

/** Whether a text is a day of the calendar, `YYYY-MM-DD`. */
export function isDay(text: string): boolean {
  const found = DAY.exec(text);
  if (!found) return false;
  const [year, month, day] = [Number(found[1]), Number(found[2]), Number(found[3])];
  const lastDay = new Date(Date.UTC(year, month, 0)).getUTCDate();
  return year >= 1900 && month >= 1 && month <= 12 && day >= 1 && day <= lastDay;
}

/** A day of the calendar: `2027-01-31`. */
export const day: z.ZodType<string, string> = quantity('a day such as `2027-01-31`', (text) =>
  isDay(text) ? text : undefined,
);

/** Text that is shown and printed: nothing hidden in it, not longer than `most` columns. */
export function plainText(what: string, most: number): z.ZodType<string, string> {
  return quantity(what, (text) => {
    // Folded lines of a YAML file come with blanks at their joints.
    const line = text.replace(/\s+/g, ' ').trim();
    return line === '' || widthOf(line) > most || cleanText(line) !== line ? undefined : line;
  });
}

export const nameText = plainText('a name of at most 60 characters, all of them visible', 60);
export const sentence = plainText('a sentence of at most 240 characters, all of them visible', 240);

/** A short word that other places refer to. At least one letter: `12` alone is too easily taken for an amount. */
export const id: z.ZodType<string, string> = z
  .string('a short name of small letters, digits and `-`, such as `melt-jug`')
  .regex(/^(?=.*[a-z])[a-z0-9-]{1,40}$/, 'a short name of small letters, digits and `-`, such as `melt-jug`');

/** A lot's code as its supplier prints it. */
export const lotCode: z.ZodType<string, string> = z
  .string('a lot code such as `CA-2207`')
  .regex(
    /^[\p{L}\p{N}]([\p{L}\p{N} ._/#+:()-]{0,30}[\p{L}\p{N})])?$/u,
    'a lot code such as `CA-2207`: letters, digits, blanks and `. _ / # + : ( ) -`, at most 32',
  );
