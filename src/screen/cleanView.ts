/** Makes all texts of a view harmless, once, before anything is drawn. */
import { cleanText } from '../facts/cleanText.ts';
import type { BenchView, LiveView } from './view.ts';

/** Characters whose width differs from terminal to terminal would shift the numbers behind them. */
const UNSURE_WIDTH = /\p{Emoji_Presentation}|\p{Regional_Indicator}|\p{Co}|\p{Cn}/gu;

/** Foreign text for the screen: cleaned, and what terminals disagree about replaced by `?`. */
export function cleanForCells(text: string): string {
  return cleanText(text).replace(UNSURE_WIDTH, '?');
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
