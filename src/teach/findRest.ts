/**
 * Which words say that the scale is at rest: those that come while the pan is left alone, and are gone while it is
 * touched. A word that was never put to that proof means nothing.
 */
import { stoodStill } from './findWeight.ts';
import type { Layout } from './layout.ts';
import type { Moment } from './model.ts';
import { numberOf } from './takenApart.ts';

export interface SlotPlace {
  /** Which text, and which of its parts. */
  readonly text: number;
  readonly part: number;
}

export interface RestFound {
  readonly slot: SlotPlace;
  /** Words, trimmed; `''` is a blank in their place. */
  readonly words: ReadonlyMap<string, 'stable' | 'moving'>;
  /** Words that were only seen at zero, never while the empty pan was touched. */
  readonly untested: readonly string[];
  /** False: a blank means rest, and some words beside it mean nothing known: a line with such a word would be at rest. */
  readonly isSafe: boolean;
}

type State = 'still' | 'moving' | undefined;

/** After this the scale's own word may be trusted to have caught up, milliseconds. */
const CAUGHT_UP = 300;
/** A scale that said nothing for so long has nothing new to say, milliseconds. */
const FALLEN_SILENT = 1500;
const FEWEST = 3;
/** Chance rests while touched. */
const MOST_STRAY = 0.2;

/** The slot that tells it; undefined: none does. */
export function findRest(layout: Layout): RestFound | undefined {
  const states = statesOf(layout);
  const moments = layout.readings.map(({ reading }) => reading.heard.moment);
  for (const [text, { parts, variant }] of layout.texts.entries()) {
    for (const [part, { kind, ...rest }] of parts.entries()) {
      if (kind !== 'slot' || !('alternatives' in rest)) continue;
      const { alternatives } = rest;
      const words = variant.map((each) => (alternatives[each] ?? '').trim());
      const found = correlate(words, states, moments);
      if (found) return { slot: { text, part }, ...found };
    }
  }
  return undefined;
}

function correlate(
  words: readonly string[],
  states: readonly State[],
  moments: readonly Moment[],
): Omit<RestFound, 'slot'> | undefined {
  const count = (word: string | undefined, state: State, ...of: readonly Moment[]): number =>
    words.filter(
      (each, index) =>
        (word === undefined || each === word) &&
        states[index] === state &&
        of.some((moment) => moment === moments[index]),
    ).length;
  const all = [...new Set(words)];
  const STILL = ['loaded', 'empty', 'other', 'lifted'] as const;
  const moving = all.filter(
    (word) => count(word, 'still', ...STILL) === 0 && count(word, 'moving', 'touched') >= FEWEST,
  );
  const movingCount = count(undefined, 'moving', 'touched');
  const caught = moving.reduce((sum, word) => sum + count(word, 'moving', 'touched'), 0);
  if (moving.length === 0 || caught < (1 - MOST_STRAY) * movingCount) return undefined;
  const isStray = (word: string, of: Moment): boolean =>
    count(word, 'moving', of) <= MOST_STRAY * count(undefined, 'moving', of);
  const meant = new Map<string, 'stable' | 'moving'>(moving.map((word) => [word, 'moving']));
  const untested: string[] = [];
  for (const word of all) {
    if (meant.has(word)) continue;
    if (count(word, 'still', 'loaded') >= 1 && isStray(word, 'touched')) meant.set(word, 'stable');
    else if (count(word, 'still', 'empty', 'touched-empty') >= 1) {
      const isTested = count(undefined, 'moving', 'touched-empty') >= FEWEST && isStray(word, 'touched-empty');
      if (isTested) meant.set(word, 'stable');
      else untested.push(word);
    }
  }
  const stillCount = [...meant].reduce(
    (sum, [word, meaning]) => sum + (meaning === 'stable' ? count(word, 'still', ...STILL) : 0),
    0,
  );
  const isSafe = meant.get('') !== 'stable' || meant.size === all.length;
  return stillCount >= FEWEST ? { words: meant, untested, isSafe } : undefined;
}

/** What the pan did at each reading, as far as it is beyond doubt. */
export function statesOf({ readings, fields }: Layout): State[] {
  const weight = fields.find(({ kind }) => kind === 'weight');
  const values = readings.map((_, index) => numericValue(weight?.digits[index] ?? ''));
  const step = smallestStep(values);
  return readings.map(({ reading }, index) => {
    const { heard } = reading;
    const isTouched = heard.moment === 'touched' || heard.moment === 'touched-empty';
    // The last word of a scale that speaks only on change.
    if (!isTouched && readings[index + 1]?.reading.heard !== heard && heard.ended - reading.at > FALLEN_SILENT)
      return 'still';
    if (reading.began < (isTouched ? heard.ready + CAUGHT_UP : stoodStill(heard))) return undefined;
    const value = values[index] ?? 0;
    const differs = (other: number): boolean => {
      const isHere = readings[other]?.reading.heard === heard;
      return isHere && Math.abs((values[other] ?? value) - value) > 2 * step;
    };
    if (isTouched) {
      return differs(index - 1) && differs(index + 1) ? 'moving' : undefined;
    }
    return differs(index - 1) || differs(index + 1) ? undefined : 'still';
  });
}

function numericValue(digits: string): number {
  const number = numberOf(digits);
  return number ? Number(number.digits) / 10 ** number.scale : 0;
}

function smallestStep(values: readonly number[]): number {
  const sorted = [...new Set(values)].sort((a, b) => a - b);
  const steps = sorted.slice(1).map((value, index) => value - (sorted[index] ?? value));
  return steps.length === 0 ? 0 : Math.min(...steps);
}
