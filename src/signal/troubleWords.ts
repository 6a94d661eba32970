/** Trouble that a scale tells, or shows, in words that follow its name: what it does, and what the maker can do. */
import type { Trouble } from './happening.ts';

const WORDS: Readonly<Record<Trouble, string>> = {
  'wrong-unit': 'shows another unit than it should. Press its unit key until it is right again',
  'unit-jump': 'jumped as if its unit had changed. Press its unit key until it shows grams, or lift everything off',
  'over-range': 'carries more than it can weigh. Take something off',
  'under-range': 'shows less than nothing. Is its pan on right?',
  fault: 'reports a fault of its own',
  unread:
    'sends what can not be read. Touch its pan, so that it says its weight anew; is its cable in, its profile right?',
};

/** `The bench scale carries more than it can weigh. Take something off.` @param scale its id */
export function troubleInWords(scale: string, trouble: Trouble): string {
  const words = `The ${scale} scale ${WORDS[trouble]}`;
  return /[.?]$/.test(words) ? words : `${words}.`;
}
