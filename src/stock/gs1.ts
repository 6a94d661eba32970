/**
 * Element strings of GS1 bar codes, as a scanner sends them or as people type them from under the bars: which lot is in
 * this jar, until when it is good, how much it is.
 *
 * Source: GS1 General Specifications (application identifiers; element strings of predefined length; FNC1 sent as the
 * character 1D hex; day 00 is the last of the month; the century of a two-digit year), checked against the GS1 Syntax
 * Dictionary. The rule for centuries and the list of symbology identifiers are from memory.
 */
import type { Mass } from '../mass/mass.ts';
import { readMass } from '../mass/text.ts';
import type { Unit } from '../mass/units.ts';

/** FNC1 between elements, as scanners send it. */
export const SEPARATOR = '\x1d';
/** The same as a visible character: what is left of it where text was cleaned, and what can be typed. */
export const SEPARATOR_SHOWN = '␝';

export interface Element {
  /** Application identifier: `10`, `3103`. */
  readonly ai: string;
  readonly value: string;
}

export interface LabelRead {
  readonly elements: readonly Element[];
  /** 14 digits; its check digit is right. */
  readonly gtin: string | undefined;
  readonly lot: string | undefined;
  /** Last day of use, else best before, `YYYY-MM-DD`. */
  readonly expires: string | undefined;
  readonly net: Mass | undefined;
  /** How many pieces. */
  readonly count: number | undefined;
}

export type Gs1 =
  | { readonly ok: true; readonly label: LabelRead }
  /** A sentence for the maker. */
  | { readonly ok: false; readonly why: string };

/** Symbology identifiers (ISO/IEC 15424) that say "GS1 element strings follow". */
const CARRIERS = /^\](?:C1|d2|Q3|e0|J1)/;

/** How long the value of an element is: exactly (no separator follows), or at most (one does, unless it is the last). */
interface Form {
  readonly digits?: true;
  readonly exactly?: number;
  readonly atMost?: number;
}

/** By the first two digits: digits of the identifier itself. All that are not here have four. */
const AI_DIGITS: Readonly<Record<string, number>> = {
  ...Object.fromEntries('00 01 02 03 10 11 12 13 15 16 17 20 21 22 30 37'.split(' ').map((ai) => [ai, 2])),
  ...Object.fromEntries('23 24 25 40 41 42 71'.split(' ').map((ai) => [ai, 3])),
  ...Object.fromEntries('90 91 92 93 94 95 96 97 98 99'.split(' ').map((ai) => [ai, 2])),
};

/** By the first two digits: digits of the value, for those that are never followed by a separator. */
const PREDEFINED: Readonly<Record<string, number>> = {
  ...{ '00': 18, '01': 14, '02': 14, '03': 14, '20': 2, '41': 13 },
  ...Object.fromEntries('11 12 13 15 16 17'.split(' ').map((ai) => [ai, 6])),
  ...Object.fromEntries('31 32 33 34 35 36'.split(' ').map((ai) => [ai, 6])),
};

/** Of the others, those that are read here; all else goes up to the next separator. */
const OF_ITS_OWN: Readonly<Record<string, Form>> = {
  '10': { atMost: 20 },
  '21': { atMost: 20 },
  '30': { digits: true, atMost: 8 },
  '37': { digits: true, atMost: 8 },
};

const UNKNOWN: Form = { atMost: 90 };

/** Net weights: the first three digits of the identifier; the fourth is the number of decimals. */
const WEIGHTS: Readonly<Record<string, Unit>> = { '310': 'kg', '320': 'lb', '356': 'ozt' };

/** The 82 characters of GS1 (from ISO/IEC 646). */
const CHARACTERS = /^[!"%&'()*+,\-./0-9:;<=>?A-Z_a-z]+$/;
/** No label holds more. */
const LONGEST = 200;

/** Whether a text looks like element strings at all, so that it is not taken for something else. */
export function looksLikeGs1(text: string): boolean {
  return CARRIERS.test(text) || /[\x1d\u241d]/.test(text) || /^\(\d{2,4}\)/.test(text);
}

/**
 * Reads element strings: as scanned, with or without symbology identifier, or typed with brackets, `(10)LOT-7A`.
 * @param year this year, for years of two digits
 */
export function readGs1(text: string, year: number): Gs1 {
  const said = text.trim();
  if (said.length > LONGEST) return no('That is longer than any label.');
  const cut = /^\(\d/.test(said) ? cutAtBrackets(said) : cutScanned(said.replace(CARRIERS, ''));
  if (!Array.isArray(cut)) return cut;
  const seen = new Map<string, string>();
  for (const { ai, value } of cut) {
    if (seen.has(ai) && seen.get(ai) !== value) return no(`The label says ${ai} twice, and not alike.`);
    seen.set(ai, value);
  }
  return understood(cut, year);
}

function no(why: string): Gs1 & { ok: false } {
  return { ok: false, why: `${why} Scan it again, or type the lot code.` };
}

function formOf(ai: string): Form {
  const exactly = PREDEFINED[ai.slice(0, 2)];
  return exactly === undefined ? (OF_ITS_OWN[ai] ?? UNKNOWN) : { digits: true, exactly };
}

function cutAtBrackets(text: string): Element[] | (Gs1 & { ok: false }) {
  const elements: Element[] = [];
  for (const [whole, ai = '', value = ''] of text.matchAll(/\((\d{2,4})\)([^(]*(?:\((?!\d{2,4}\))[^(]*)*)/g)) {
    const element = { ai, value: value.trim() };
    const fault = ai.length === aiDigits(ai) ? faultOf(element) : `(${ai}) is no identifier that is known.`;
    if (fault !== undefined || whole === '') return no(fault ?? 'That is no label.');
    elements.push(element);
  }
  return elements;
}

function aiDigits(text: string): number {
  return AI_DIGITS[text.slice(0, 2)] ?? 4;
}

function cutScanned(text: string): Element[] | (Gs1 & { ok: false }) {
  const elements: Element[] = [];
  let rest = text.replaceAll(SEPARATOR_SHOWN, SEPARATOR);
  for (;;) {
    // A separator may come first, and after elements of predefined length, where none is needed.
    while (rest.startsWith(SEPARATOR)) rest = rest.slice(1);
    if (rest === '') break;
    const ai = rest.slice(0, aiDigits(rest));
    if (!/^\d{2,4}$/.test(ai)) return no('That is no label with GS1 element strings.');
    const form = formOf(ai);
    const after = rest.slice(ai.length);
    const end = form.exactly ?? (after.includes(SEPARATOR) ? after.indexOf(SEPARATOR) : after.length);
    const element = { ai, value: after.slice(0, end) };
    const fault = faultOf(element);
    if (fault !== undefined) return no(fault);
    elements.push(element);
    rest = after.slice(end);
  }
  return elements.length === 0 ? no('There is nothing on that label.') : elements;
}

function faultOf({ ai, value }: Element): string | undefined {
  const { digits, exactly, atMost } = formOf(ai);
  if (exactly !== undefined && value.length !== exactly) return `The label ends in the middle of (${ai}).`;
  if (value === '') return `The label says nothing after (${ai}).`;
  if (digits && !/^\d+$/.test(value)) return `After (${ai}) there are other characters than digits.`;
  if (!CHARACTERS.test(value)) return `After (${ai}) there is a character that no label has.`;
  if (atMost !== undefined && value.length > atMost) {
    return `What comes after (${ai}) is too long: the scanner may leave out the character between two elements (FNC1, sent as GS).`;
  }
  return undefined;
}

function understood(elements: readonly Element[], year: number): Gs1 {
  const value = (ai: string) => elements.find((each) => each.ai === ai)?.value;
  const gtin = value('01');
  if (gtin !== undefined && !isChecked(gtin)) return no('The check digit of its number (01) is wrong.');
  const last = value('17') ?? value('15');
  const expires = last === undefined ? undefined : dayOf(last, year);
  if (last !== undefined && expires === undefined) return no(`Its last day, ${last}, is no day of the calendar.`);
  const count = value('37') ?? value('30');
  return {
    ok: true,
    label: {
      elements,
      gtin,
      lot: value('10'),
      expires,
      net: netOf(elements),
      count: count === undefined ? undefined : Number(count),
    },
  };
}

function netOf(elements: readonly Element[]): Mass | undefined {
  for (const { ai, value } of elements) {
    const unit = WEIGHTS[ai.slice(0, 3)];
    const decimals = Number(ai.slice(3));
    if (unit === undefined || decimals > 5) continue;
    const whole = value.slice(0, value.length - decimals);
    return readMass(decimals === 0 ? value : `${whole}.${value.slice(-decimals)}`, unit);
  }
  return undefined;
}

/** Weights 3, 1, 3 ... from the left of the first 13 digits; with the last digit the sum is a multiple of ten. */
export function isChecked(gtin: string): boolean {
  const sum = [...gtin].reduce((all, digit, at) => all + Number(digit) * (at % 2 === 0 ? 3 : 1), 0);
  return gtin.length === 14 && sum % 10 === 0;
}

/** `YYMMDD` as a day; day 00 is the last of its month. */
function dayOf(text: string, year: number): string | undefined {
  const [yy, month, day] = [Number(text.slice(0, 2)), Number(text.slice(2, 4)), Number(text.slice(4))];
  const apart = yy - (year % 100);
  const century = Math.floor(year / 100) + (apart >= 51 ? -1 : apart <= -50 ? 1 : 0);
  const whole = century * 100 + yy;
  if (month < 1 || month > 12) return undefined;
  const lastDay = new Date(Date.UTC(whole, month, 0)).getUTCDate();
  if (day > lastDay) return undefined;
  const two = (count: number) => String(count).padStart(2, '0');
  return `${String(whole).padStart(4, '0')}-${two(month)}-${two(day === 0 ? lastDay : day)}`;
}
