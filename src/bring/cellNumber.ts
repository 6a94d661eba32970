/**
 * Numbers as people write them into cells: `1,234.5`, `1.234,5`, `1 234,5 g`, `12 %`, `1'000`. Which mark is the
 * decimal one is told by the whole sheet; a lone `1.234` by itself tells nothing.
 */
import type { Decimal } from '../mass/text.ts';
import { readDecimal } from '../mass/text.ts';
import { isUnit, type Unit } from '../mass/units.ts';

export type Mark = 'point' | 'comma';

export interface CellNumber {
  readonly digits: string;
  /** `%`, `parts`, or a unit of mass, where the cell says one. */
  readonly unit: '%' | 'parts' | Unit | undefined;
}

const NUMBER = /^([+-]?)\s*(\d[\d.,'\u2019 \u00a0\u2009\u202f]*|[.,]\d+)\s*(.*)$/u;
const UNIT_WORDS: Readonly<Record<string, CellNumber['unit']>> = {
  '%': '%',
  percent: '%',
  pct: '%',
  'wt%': '%',
  'wt. %': '%',
  '% w/w': '%',
  '%w/w': '%',
  part: 'parts',
  parts: 'parts',
  pbw: 'parts',
  gram: 'g',
  grams: 'g',
  gramme: 'g',
  grammes: 'g',
  gm: 'g',
  gms: 'g',
  gr: undefined,
  kilo: 'kg',
  kilos: 'kg',
  kgs: 'kg',
  kilogram: 'kg',
  kilograms: 'kg',
  milligram: 'mg',
  milligrams: 'mg',
  ounce: 'oz',
  ounces: 'oz',
  pound: 'lb',
  pounds: 'lb',
  lbs: 'lb',
};

/** A unit as people write it; undefined for a word that is none, and for `gr`, which may be grains or grams. */
export function unitWord(word: string): CellNumber['unit'] {
  const plain = word.toLowerCase().replace(/\.$/, '').trim();
  if (Object.hasOwn(UNIT_WORDS, plain)) return UNIT_WORDS[plain];
  return isUnit(plain) && plain !== 'gr' ? plain : undefined;
}

/** A cell that holds a number, with or without a unit; undefined for any other. */
export function cellNumber(cell: string): CellNumber | undefined {
  const leading = /^%\s*(.+)$/.exec(cell);
  const found = NUMBER.exec(leading?.[1] === undefined ? cell : `${leading[1]} %`);
  if (!found) return undefined;
  const [, sign = '', body = '', rest = ''] = found;
  const unit = rest === '' ? undefined : unitWord(rest);
  if (rest !== '' && unit === undefined) return undefined;
  return { digits: sign + body.replace(/['\u2019 \u00a0\u2009\u202f]/gu, ''), unit };
}

/**
 * What one number tells of the decimal mark: that it is the point, or the comma; `open` where it may be either; nothing
 * where it has no mark.
 */
export function markIn(digits: string): Mark | 'open' | undefined {
  const points = digits.split('.').length - 1;
  const commas = digits.split(',').length - 1;
  if (points === 0 && commas === 0) return undefined;
  if (points > 0 && commas > 0) return digits.lastIndexOf('.') > digits.lastIndexOf(',') ? 'point' : 'comma';
  const [mark, count] = points > 0 ? (['point', points] as const) : (['comma', commas] as const);
  const other = mark === 'point' ? 'comma' : 'point';
  // Several of one kind stand between thousands, or it is no number: 1.2.3
  if (count > 1) return /^[+-]?\d{1,3}([.,]\d{3})+$/.test(digits) ? other : undefined;
  const [whole = '', after = ''] = digits.replace(/^[+-]/, '').split(/[.,]/);
  const grouped = after.length === 3 && whole.length >= 1 && whole.length <= 3 && !/^0/.test(whole);
  return grouped ? 'open' : mark;
}

/**
 * A number as someone types it: the point is its decimal mark, and so is a comma, but not where that may stand between
 * thousands as well (`1,250`).
 */
export function typedDigits(digits: string): string | undefined {
  return digits.includes(',') && markIn(digits) === 'open' ? undefined : digits.replace(',', '.');
}

/** The number with its decimal mark known; undefined where the other mark does not stand between groups of three. */
export function decimalOf(digits: string, mark: Mark): Decimal | undefined {
  const [decimal, group] = mark === 'point' ? ['.', ','] : [',', '.'];
  const [whole = '', ...fractions] = digits.split(decimal);
  if (fractions.length > 1) return undefined;
  const [first = '', ...groups] = whole.split(group);
  const isGrouped = groups.every((each) => each.length === 3) && /^[+-]?\d{1,3}$/.test(first);
  if ((groups.length > 0 && !isGrouped) || fractions[0]?.includes(group)) return undefined;
  const plain = `${first}${groups.join('')}`;
  const fraction = fractions[0] === undefined || fractions[0] === '' ? '' : `.${fractions[0]}`;
  return readDecimal(`${/\d/.test(plain) ? plain : `${plain}0`}${fraction}`);
}
