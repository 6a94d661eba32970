/** Where the line names the unit that the display shows. */
import type { SlotPlace } from './findRest.ts';
import type { Layout } from './layout.ts';
import { SPELLINGS, type WireUnit } from './shownNumber.ts';

export interface UnitFound {
  readonly place: SlotPlace;
  /** As it is written in the line. */
  readonly word: string;
  /** Where in the part's text it begins; in a slot the whole alternative is the word or a blank. */
  readonly at: number;
  /** Whether it is left blank now and then. */
  readonly isBlankAtTimes: boolean;
}

/** The unit word nearest behind the weight, else nearest before it; undefined: the line has none. */
export function findUnit({ texts, fields }: Layout, unit: WireUnit): UnitFound | undefined {
  const weight = fields.findIndex(({ kind }) => kind === 'weight');
  const order = texts.map((_, text) => text).sort((a, b) => distance(a, weight) - distance(b, weight));
  const isWord = (text: string): boolean => SPELLINGS[unit].includes(text.toLowerCase());
  for (const text of order) {
    for (const [part, found] of (texts[text]?.parts ?? []).entries()) {
      if (found.kind === 'same') {
        for (const word of found.text.matchAll(/[A-Za-z]+/g)) {
          if (isWord(word[0])) return { place: { text, part }, word: word[0], at: word.index, isBlankAtTimes: false };
        }
      }
      if (found.kind === 'slot') {
        const [word, ...others] = new Set(found.alternatives.map((each) => each.trim()).filter((each) => each !== ''));
        if (word !== undefined && others.length === 0 && isWord(word.replace(/\.$/, ''))) {
          return { place: { text, part }, word, at: 0, isBlankAtTimes: true };
        }
      }
    }
  }
  return undefined;
}

/** Texts right behind the weight come first, then those further on, then those before it. */
function distance(text: number, weight: number): number {
  return text > weight ? text - weight : 100 + weight - text;
}
