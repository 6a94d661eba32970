/** The small texts around the large number, as lines that fit: headline and sentence, cautions, done and next. */
import { cutToWidth, widthOf } from '../facts/textWidth.ts';
import { breakLines, lastThatFit, padRight } from './lineText.ts';
import type { BenchView, DoneDraw } from './view.ts';

/** Most lines of the one sentence. */
const SAY_LINES = 2;
/** Most lines of one of the smaller lines below it. */
const DETAIL_LINES = 2;
/** Most lines of one caution. */
const CAUTION_LINES = 2;
const NAME_COLUMNS = 40;

/** The headline as it is drawn in inverse. */
export function tagOf({ headline }: BenchView): string {
  return ` ${headline} `;
}

/** The sentence, in lines that stand beside the headline. */
export function sayLines(view: BenchView, columns: number): string[] {
  return breakLines(view.say, columns - widthOf(tagOf(view)) - 2, SAY_LINES);
}

/** Each smaller line below the sentence, in the lines that it takes. */
export function detailLines({ recap = [], detail }: BenchView, columns: number): string[][] {
  return [...recap, ...detail].map((line) => breakLines(line, columns, DETAIL_LINES));
}

/** As many of them as are whole in so many rows; of the first at least its beginning. */
export function detailThatFits(view: BenchView, columns: number, rows: number): string[] {
  const lines: string[] = [];
  for (const each of detailLines(view, columns)) {
    if (lines.length > 0 && lines.length + each.length > rows) continue;
    lines.push(...each);
  }
  return lines.slice(0, rows);
}

/** The cautions, each beginning with `! `; in the order given. */
export function cautionLines(cautions: readonly string[], columns: number): string[][] {
  return cautions.map((caution) =>
    breakLines(caution, columns - 2, CAUTION_LINES).map((line, index) => (index === 0 ? '! ' : '  ') + line),
  );
}

/** What is done, the newest nearest to the work below it: one flowing line, or one line each where there is room. */
export function doneLines(done: readonly DoneDraw[], columns: number, rows: number): string[] {
  if (done.length === 0 || rows === 0) return [];
  const name = 'done  ';
  if (rows === 1) {
    const pieces = done.map((draw) => `${draw.name} ${draw.net}`);
    return [name + lastThatFit(pieces, columns - name.length, '   ')];
  }
  const last = done.slice(-rows);
  return last.map(
    (draw, index) => (index === 0 ? name : ' '.repeat(name.length)) + padRight(draw.name, NAME_COLUMNS) + draw.net,
  );
}

/** What comes: as many as fit into one line, or one line each. */
export function nextLines(next: readonly string[], columns: number, rows: number): string[] {
  if (next.length === 0 || rows === 0) return [];
  const name = 'next  ';
  if (rows === 1) {
    const [first = '', ...rest] = next;
    let line = first;
    for (const piece of rest) {
      if (widthOf(`${line}   ${piece}`) > columns - name.length) break;
      line = `${line}   ${piece}`;
    }
    return [name + cutToWidth(line, columns - name.length)];
  }
  return next
    .slice(0, rows)
    .map((piece, index) => (index === 0 ? name : ' '.repeat(name.length)) + cutToWidth(piece, columns - name.length));
}
