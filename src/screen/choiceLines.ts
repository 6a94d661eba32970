/** The answers that one key gives, as pieces that flow into lines. */
import { widthOf } from '../facts/textWidth.ts';
import type { Choice } from './view.ts';

/** Lines of choices; none is broken in two unless it is longer than a line. */
export function choiceLines(choices: readonly Choice[], columns: number): Choice[][] {
  const lines: Choice[][] = [];
  let used = 0;
  for (const choice of choices) {
    const width = choiceWidth(choice);
    const line = lines.at(-1);
    if (line && used + BETWEEN + width <= columns) {
      line.push(choice);
      used += BETWEEN + width;
    } else {
      lines.push([choice]);
      used = width;
    }
  }
  return lines;
}

/** Columns between two choices. */
export const BETWEEN = 3;

/** ` Enter ` in inverse, a blank, the label. */
function choiceWidth({ key, label }: Choice): number {
  return widthOf(key) + 2 + 1 + widthOf(label);
}
