/**
 * What all charts share: a drawing that prints sharp at any size, in black and greys, with words for those who do not see
 * it. Charts know numbers, units and labels only, nothing of batches.
 *
 * One unit of length is a point (1/72 inch) where the chart is as wide as its `width` says; it shrinks with its place.
 * Nothing is styled but by attributes, so that a page may forbid inline styles.
 */
import type { ReactNode } from 'react';

/** Ink: one black, three greys that stay apart on a cheap printer. */
export const INK = { line: '#000', soft: '#555', rule: '#999', fill: '#ddd' } as const;

/** Text in a chart, in points. */
export const TEXT = 7.5;

export interface ChartFrame {
  /** In points. */
  readonly width: number;
  readonly height: number;
  /** What it shows, in words and with its numbers: read out instead of the drawing. */
  readonly says: string;
  readonly children: ReactNode;
}

export function Chart({ width, height, says, children }: ChartFrame) {
  return (
    <svg
      className="chart"
      role="img"
      aria-label={says}
      viewBox={`0 0 ${width} ${height}`}
      width="100%"
      fontSize={TEXT}
      fill={INK.line}
    >
      {children}
    </svg>
  );
}

/** How wide a character of a plain sans-serif type is about, as a share of its size; rather more than less. */
function shareOf(character: string): number {
  if (/[ijl.,:;'|!()[\]]/.test(character)) return 0.34;
  if (/[MWmw@%]/.test(character)) return 0.95;
  if (/[A-Z&+=]/.test(character)) return 0.74;
  return character < '\u0250' ? 0.56 : 1.1;
}

/** How wide a text is about, in points. There is nothing to measure it with before it is drawn. */
export function widthOf(text: string, size = TEXT): number {
  return [...text].reduce((width, character) => width + size * shareOf(character), 0);
}

/** A text that keeps within a width, cut with an ellipsis where it must be. @param width in points */
export function cut(text: string, width: number, size = TEXT): string {
  if (widthOf(text, size) <= width) return text;
  const room = width - widthOf('m', size);
  let kept = '';
  for (const character of text) {
    if (kept !== '' && widthOf(kept + character, size) > room) break;
    kept += character;
  }
  return `${kept.trimEnd()}\u2026`;
}

/** Two decimals of a point are finer than any printer; more only make the page heavy. */
export function at(place: number): number {
  return Math.round(place * 100) / 100;
}

/**
 * Moves places apart until no two are nearer than `gap`, in their order, within `from` and `to` where there is room. For
 * labels beside a chart.
 * @returns the new places, in the order given
 */
export function apart(places: readonly number[], gap: number, from: number, to: number): readonly number[] {
  const order = places.map((_, index) => index).sort((a, b) => (places[a] ?? 0) - (places[b] ?? 0));
  const moved = [...places];
  let least = from;
  for (const index of order) {
    moved[index] = Math.max(places[index] ?? 0, least);
    least = (moved[index] ?? 0) + gap;
  }
  let most = to;
  for (const index of order.reverse()) {
    moved[index] = Math.min(moved[index] ?? 0, most);
    most = (moved[index] ?? 0) - gap;
  }
  return moved;
}
