/** Which number on the line is the weight: the one that the display shows, with its sign. */
import type { Decimal } from '../mass/text.ts';
import type { Heard } from './model.ts';
import { isSameNumber, readShown, type WireUnit } from './shownNumber.ts';
import { type Mark, numberOf, type TakenApart } from './takenApart.ts';

/** Where the sign stands; undefined: nothing below zero was seen. */
export type SignPlace = 'before' | 'behind' | undefined;

export interface WeightFound {
  readonly mark: Mark;
  readonly readings: readonly TakenApart[];
  /** Which of the numbers. */
  readonly place: number;
  readonly sign: SignPlace;
  readonly displays: readonly Display[];
}

/** What a maker read off, and in which moment. */
export interface Display {
  readonly heard: Heard;
  readonly number: Decimal;
  readonly unit: WireUnit | undefined;
}

export type WeightResult =
  | { readonly kind: 'found'; readonly found: WeightFound }
  /** No number agrees with what the display showed in these moments. */
  | { readonly kind: 'none'; readonly disagree: readonly Display[] }
  /** Several agree, and may differ some day. */
  | { readonly kind: 'several' };

/** The latest answer of each moment that is a number. */
export function displaysOf(heard: readonly Heard[]): Display[] {
  const latest = new Map<Heard['moment'], Display>();
  for (const each of heard) {
    const shown = each.shown === undefined ? undefined : readShown(each.shown);
    if (shown) latest.set(each.moment, { heard: each, ...shown });
  }
  return [...latest.values()];
}

/** Readings after the pan was left alone; where there are none, the last before that. */
export function settledReadings(readings: readonly TakenApart[], heard: Heard): readonly TakenApart[] {
  const here = readings.filter(({ reading }) => reading.heard === heard);
  const late = here.filter(({ reading }) => reading.at >= heard.ready);
  return late.length > 0 ? late : here.slice(-1);
}

/** @param byMark the readings taken apart with either decimal mark */
export function findWeight(
  byMark: readonly (readonly [Mark, readonly TakenApart[]])[],
  heard: readonly Heard[],
): WeightResult {
  const displays = displaysOf(heard);
  let disagree: readonly Display[] = displays;
  for (const [mark, readings] of byMark) {
    const told = displays.filter(({ heard: each }) => readings.some(({ reading }) => reading.heard === each));
    const count = readings[0]?.numbers.length ?? 0;
    const places = Array.from({ length: count }, (_, place) => place);
    const signs: readonly SignPlace[] = told.some(({ number }) => number.digits < 0n)
      ? ['before', 'behind']
      : [undefined];
    const fitting = places.flatMap((place) => {
      const sign = signs.find((each) => told.every((display) => showsIt(readings, display, place, each)));
      return sign !== undefined ||
        (signs[0] === undefined && told.every((display) => showsIt(readings, display, place, undefined)))
        ? [{ mark, readings, place, sign, displays: told }]
        : [];
    });
    const [first, ...others] = fitting;
    if (first === undefined) {
      const missed = told.filter(
        (display) => !places.some((place) => signs.some((sign) => showsIt(readings, display, place, sign))),
      );
      if (missed.length > 0 && missed.length < disagree.length) disagree = missed;
      continue;
    }
    if (told.length === 0) continue;
    if (others.every((other) => isTwin(first, other))) return { kind: 'found', found: first };
    return { kind: 'several' };
  }
  return { kind: 'none', disagree };
}

function showsIt(readings: readonly TakenApart[], { heard, number }: Display, place: number, sign: SignPlace): boolean {
  return settledReadings(readings, heard).some((each) => {
    const value = numberOf(each.numbers[place] ?? '');
    if (value === undefined) return false;
    const isBelow = signOf(each, place, sign) === '-';
    return isSameNumber({ ...value, digits: isBelow ? -value.digits : value.digits }, number);
  });
}

/** The sign character of a number, or nothing. */
export function signOf({ texts }: TakenApart, place: number, sign: SignPlace): '+' | '-' | '' {
  const found =
    sign === 'before'
      ? /([+-]) *$/.exec(texts[place] ?? '')
      : sign === 'behind'
        ? /^([+-])/.exec(texts[place + 1] ?? '')
        : null;
  return found?.[1] === '+' ? '+' : found?.[1] === '-' ? '-' : '';
}

/** The same weight said twice: equal in every reading, with sign, and a tare has shown that it is not the gross one. */
function isTwin(a: WeightFound, b: WeightFound): boolean {
  return (
    a.sign !== undefined &&
    a.readings.every(
      (each) =>
        each.numbers[a.place] === each.numbers[b.place] &&
        signOf(each, a.place, a.sign) === signOf(each, b.place, b.sign),
    )
  );
}
