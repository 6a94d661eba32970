/** Which number on the line is the weight: the one that the display shows, with its sign. */
import type { Decimal } from '../mass/text.ts';
import type { Heard } from './model.ts';
import { isNear, readShown, type WireUnit } from './shownNumber.ts';
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

/**
 * From here on the display stood still: a maker says it is done a little early now and then, and reads the display off
 * at the end.
 */
export function stoodStill({ ready, ended }: Heard): number {
  return (ready + ended) / 2;
}

/** Readings while the display stood still; where there are none, the last before that. */
export function settledReadings(readings: readonly TakenApart[], heard: Heard): readonly TakenApart[] {
  const here = readings.filter(({ reading }) => reading.heard === heard);
  const late = here.filter(({ reading }) => reading.at >= stoodStill(heard));
  return late.length > 0 ? late : here.slice(-1);
}

/** @param byMark the readings taken apart with either decimal mark */
export function findWeight(
  byMark: readonly (readonly [Mark, readonly TakenApart[]])[],
  heard: readonly Heard[],
): WeightResult {
  const displays = displaysOf(heard);
  let disagree: readonly Display[] = displays;
  let whole: WeightFound | undefined;
  for (const [mark, readings] of byMark) {
    const told = displays.filter(({ heard: each }) => readings.some(({ reading }) => reading.heard === each));
    const count = readings[0]?.numbers.length ?? 0;
    const places = Array.from({ length: count }, (_, place) => place).filter((place) => isOneKind(readings, place));
    const isBelowShown = told.some(({ number }) => number.digits < 0n);
    const signsOf = (place: number): readonly SignPlace[] =>
      isBelowShown ? ['before', 'behind'] : [signNearZero(readings, told, place)];
    const fitting = places.flatMap((place) =>
      signsOf(place)
        .filter((sign) => isShown(readings, told, place, sign))
        .slice(0, 1)
        .map((sign) => ({ mark, readings, place, sign, displays: told })),
    );
    const [first, ...others] = fitting;
    if (first === undefined) {
      const missed = told.filter(
        (display) =>
          !places.some((place) => signsOf(place).some((sign) => showsIt(readings, display, place, sign, FLICKER))),
      );
      if (missed.length > 0 && missed.length < disagree.length) disagree = missed;
      continue;
    }
    if (told.length === 0) continue;
    if (!others.every((other) => isTwin(first, other))) return { kind: 'several' };
    if (hasDecimals(first)) return { kind: 'found', found: first };
    // Perhaps only the whole part of a number with the other mark.
    whole ??= first;
  }
  if (whole) return { kind: 'found', found: whole };
  return { kind: 'none', disagree };
}

/** Whether it is always a number, and always or never one with decimals: lines of different kinds are not one reading. */
function isOneKind(readings: readonly TakenApart[], place: number): boolean {
  const kinds = new Set(
    readings.map(({ numbers }) => numberOf(numbers[place] ?? '')).map((each) => each && each.scale > 0),
  );
  return kinds.size === 1 && !kinds.has(undefined);
}

/** A display that flickers may show another step when it is read off than when the line was sent; so many last places. */
const FLICKER = 5n;

/** Whether a number was what every display showed: at least once exactly, and elsewhere but for a flicker. */
function isShown(readings: readonly TakenApart[], told: readonly Display[], place: number, sign: SignPlace): boolean {
  const isExact = (display: Display): boolean =>
    display.number.digits !== 0n && showsIt(readings, display, place, sign, 0n);
  return told.some(isExact) && told.every((display) => showsIt(readings, display, place, sign, FLICKER));
}

/** @param room how many last places it may be off */
function showsIt(
  readings: readonly TakenApart[],
  { heard, number }: Display,
  place: number,
  sign: SignPlace,
  room: bigint,
): boolean {
  return aroundReady(readings, heard).some((each) => {
    const value = numberOf(each.numbers[place] ?? '');
    // Digits that the display shows must be in the number: else it is a part of one.
    if (value === undefined || value.scale < number.scale) return false;
    const isBelow = signOf(each, place, sign) === '-';
    return isNear({ ...value, digits: isBelow ? -value.digits : value.digits }, number, room);
  });
}

/** The settled readings, and the one before them: it may be what the display still shows. */
function aroundReady(readings: readonly TakenApart[], heard: Heard): readonly TakenApart[] {
  const here = readings.filter(({ reading }) => reading.heard === heard);
  const first = here.findIndex(({ reading }) => reading.at >= stoodStill(heard));
  return first === -1 ? here.slice(-1) : here.slice(Math.max(0, first - 1));
}

/**
 * Where nothing below zero could be shown on purpose: a minus that comes while the empty pan is touched, in one place
 * only, and never while the display is above zero.
 */
function signNearZero(readings: readonly TakenApart[], told: readonly Display[], place: number): SignPlace {
  const above = told.flatMap(({ heard }) => settledReadings(readings, heard));
  const around = readings.filter(({ reading }) => reading.heard.moment === 'touched-empty');
  const [only, ...others] = (['before', 'behind'] as const).filter(
    (sign) =>
      around.some((each) => signOf(each, place, sign) === '-') &&
      above.every((each) => signOf(each, place, sign) !== '-'),
  );
  return others.length === 0 ? only : undefined;
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

function hasDecimals({ readings, place }: WeightFound): boolean {
  return readings.some(({ numbers }) => /[.,]/.test(numbers[place] ?? ''));
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
