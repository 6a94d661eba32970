/** Makes all texts of a view harmless, once, before anything is drawn. */
import { cleanText } from '../facts/cleanText.ts';
import type { BenchView, LiveView } from './view.ts';

/**
 * Accents, vowel points and the like that take no cell of their own on any terminal. Younger or rarer marks (U+1DCB, for
 * one) take a cell where the terminal's tables are old.
 */
const MARK = '[\\u0300-\\u036f\\u0483-\\u0487\\u0591-\\u05bd\\u05bf\\u05c1\\u05c2\\u05c4\\u05c5\\u064b-\\u0655\\u0670]';

/**
 * Characters, with accents or without, that every terminal gives the same width: letters of scripts with one cell
 * (or, for Chinese, Japanese and Korean, two cells) each, and usual punctuation. About all others (emoji, scripts
 * whose letters join or stack, rare symbols) terminals and our libraries disagree. A line that is wider than was
 * counted breaks and moves every number below it, so such a character is shown as `?`.
 */
const SURE_WIDTH = new RegExp(
  `^(?:${[
    `[\\p{Script=Latin}\\p{Script=Greek}\\p{Script=Cyrillic}\\p{Script=Armenian}\\p{Script=Georgian}]${MARK}*`,
    `[\\u05d0-\\u05ea\\u0620-\\u064a\\u0660-\\u0669\\u066e-\\u06d3]${MARK}*`, // Hebrew and Arabic letters
    '[\\u4e00-\\u9fff\\u3041-\\u3096\\u30a1-\\u30fa\\uac00-\\ud7a3]', // Chinese, Japanese, Korean
    `[\\u0020-\\u007e\\u00a0-\\u00ff\\u2010-\\u2027\\u2030-\\u205e\\u20a0-\\u20bf\\u2150-\\u215f]${MARK}*`,
    '[\\u2080-\\u208e\\u2190-\\u2193\\u2202-\\u2265\\u3001\\u3002\\u30fb\\u30fc\\uff01-\\uff5e]',
  ].join('|')})$`,
  'u',
);

const graphemes = new Intl.Segmenter('en', { granularity: 'grapheme' });

/** Foreign text for the screen: cleaned, and what terminals disagree about replaced by `?`. */
export function cleanForCells(text: string): string {
  const clean = cleanText(text);
  if (/^[\x20-\x7e]*$/.test(clean)) return clean;
  return Array.from(graphemes.segment(clean), ({ segment }) => (SURE_WIDTH.test(segment) ? segment : '?')).join('');
}

/** Cleans every text inside plain data, whatever its shape. */
function cleanAll<T>(value: T): T;
function cleanAll(value: unknown): unknown {
  if (typeof value === 'string') return cleanForCells(value);
  if (Array.isArray(value)) return value.map((each) => cleanAll(each));
  if (value !== null && typeof value === 'object') {
    return Object.fromEntries(Object.entries(value).map(([key, each]) => [key, cleanAll(each)]));
  }
  return value;
}

/** A bench view in which no text can do harm. */
export function cleanBench(view: BenchView): BenchView {
  return cleanAll(view);
}

/** A live view in which no text can do harm. */
export function cleanLive(view: LiveView): LiveView {
  return cleanAll(view);
}
