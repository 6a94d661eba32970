/** A line of an unknown scale, taken apart: its numbers, and the texts around them. */
import { type Decimal, readDecimal } from '../mass/text.ts';
import type { ReadingHeard } from './readingsHeard.ts';

export type Mark = '.' | ',';

/** `texts[i]` stands before `numbers[i]`; one more text than numbers. */
export interface TakenApart {
  readonly reading: ReadingHeard;
  readonly texts: readonly string[];
  /** Digits with at most one decimal mark, or a time of day with colons; without signs. */
  readonly numbers: readonly string[];
}

/** A number that a time of day follows at once ends where the time begins. */
const NUMBERS: Readonly<Record<Mark, RegExp>> = {
  '.': /\d+(?:\.\d+)?(?=\d\d:\d\d)|\d{1,2}:\d\d(?::\d\d)?|\d+(?:\.\d+)?/g,
  ',': /\d+(?:,\d+)?(?=\d\d:\d\d)|\d{1,2}:\d\d(?::\d\d)?|\d+(?:,\d+)?/g,
};
/** This share of the readings must have equally many numbers. */
const LEAST_ALIKE = 0.9;

/** Takes all readings apart; those without the usual count of numbers are left out. undefined: there is no usual count. */
export function takeApart(readings: readonly ReadingHeard[], mark: Mark): readonly TakenApart[] | undefined {
  const all = readings.map((reading) => apart(reading, mark));
  const counts = new Map<number, number>();
  for (const { numbers } of all) counts.set(numbers.length, (counts.get(numbers.length) ?? 0) + 1);
  const [usual, times] = [...counts].sort((a, b) => b[1] - a[1])[0] ?? [0, 0];
  if (usual === 0 || times < LEAST_ALIKE * all.length) return undefined;
  return all.filter(({ numbers }) => numbers.length === usual);
}

function apart(reading: ReadingHeard, mark: Mark): TakenApart {
  const texts: string[] = [];
  const numbers: string[] = [];
  let from = 0;
  for (const found of reading.text.matchAll(NUMBERS[mark])) {
    texts.push(reading.text.slice(from, found.index));
    numbers.push(found[0]);
    from = found.index + found[0].length;
  }
  texts.push(reading.text.slice(from));
  return { reading, texts, numbers };
}

/** A number of a line, without its sign; undefined for a time of day. */
export function numberOf(digits: string): Decimal | undefined {
  return readDecimal(digits.replace(',', '.'));
}

/** Joins the numbers at these places with the texts around them: what never changes is no number to us. */
export function joinNumbers({ reading, texts, numbers }: TakenApart, places: ReadonlySet<number>): TakenApart {
  const joined: string[] = [texts[0] ?? ''];
  const kept: string[] = [];
  for (const [place, digits] of numbers.entries()) {
    const after = texts[place + 1] ?? '';
    if (places.has(place)) joined[joined.length - 1] += digits + after;
    else {
      kept.push(digits);
      joined.push(after);
    }
  }
  return { reading, texts: joined, numbers: kept };
}
