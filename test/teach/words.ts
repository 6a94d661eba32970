/** Words for made-up scales: invented ones, and unit words in plain English. */
import type { Unit } from '../../src/mass/units.ts';
import type { Random } from '../../src/simulate/seededRandom.ts';

export interface Dice {
  /** One of them. */
  pick<T>(of: readonly [T, ...T[]]): T;
  chance(of: number): boolean;
  /** A whole number from `from` to `to`. */
  whole(from: number, to: number): number;
  next(): number;
}

export function diceOf(random: Random): Dice {
  const whole = (from: number, to: number): number => from + Math.floor(random.next() * (to - from + 1));
  return {
    pick: (of) => of[whole(0, of.length - 1)] ?? of[0],
    chance: (of) => random.next() < of,
    whole,
    next: () => random.next(),
  };
}

export const UNIT_WORDS: Readonly<Record<'kg' | 'g' | 'mg' | 'lb' | 'oz' | 'gr', readonly [string, ...string[]]>> = {
  kg: ['kg', 'KG', 'Kg'],
  g: ['g', 'G', 'gram', 'g.'],
  mg: ['mg', 'MG'],
  lb: ['lb', 'LB', 'lbs'],
  oz: ['oz', 'OZ', 'oz.'],
  gr: ['gr', 'grain', 'GR'],
};

export type SentUnit = keyof typeof UNIT_WORDS & Unit;

/** A word of so many letters, not in `taken` and no unit's, which is then taken. */
export function inventWord(dice: Dice, letters: number, taken: Set<string>): string {
  const inCapitals = dice.chance(0.5);
  for (;;) {
    let word = '';
    for (let place = 0; place < letters; place++) {
      const from =
        letters > 2 && place % 2 === 1 ? 'aeiou' : letters > 2 ? 'bdfhjklmnprstvwz' : 'abcdefhijklmnopqrstuvwxyz';
      word += from[dice.whole(0, from.length - 1)];
    }
    if (inCapitals) word = word.toUpperCase();
    const isUnit = Object.values(UNIT_WORDS).some((words) =>
      words.some((each) => each.toLowerCase() === word.toLowerCase()),
    );
    if (isUnit || taken.has(word)) continue;
    taken.add(word);
    return word;
  }
}

/** A mark that means nothing in numbers, units or lines, not in `taken`, which is then taken. */
export function inventMark(dice: Dice, taken: Set<string>): string {
  for (;;) {
    const mark = dice.pick(['*', '?', '!', '=', '~', '#', '@', '$', '%', '&', '^', '<', '>']);
    if (taken.has(mark)) continue;
    taken.add(mark);
    return mark;
  }
}
