/** Joins the lines of one reading, for scales that send several. */
import { LONGEST_LINE } from './decode.ts';
import type { Line, Received } from './receiver.ts';

/** What stands between the joined lines: visible, so that a pattern can be written and a line be shown. */
export const LINE_JOINT = ';';

/** Lines of one reading follow each other at once; nothing older is joined, milliseconds. */
function staleAfter(linesPerSecond: number): number {
  return Math.max(500, 1000 / linesPerSecond);
}

/**
 * Lines belong together when, joined, they fit the pattern as a whole. Which one is the first is not known at the
 * beginning: what does not fit loses its oldest line until it does.
 */
export function createGrouper(
  { linesPerReading, linesPerSecond, pattern }: Received,
  tell: (line: Line) => void,
): (line: Line) => void {
  const stale = staleAfter(linesPerSecond);
  let held: Line[] = [];
  let found = false;

  /** Leaves out a line that stayed alone; before the first reading that is no fault. */
  const leave = (lines: readonly Line[]): void => {
    if (!found) return;
    for (const line of lines) tell({ ...line, fault: 'the other lines of its reading are missing or damaged' });
  };

  return (line) => {
    if (line.fault !== undefined) {
      leave(held);
      held = [];
      tell(line);
      return;
    }
    const fresh = held.filter(({ at }) => line.at - at <= stale);
    leave(held.slice(0, held.length - fresh.length));
    held = [...fresh, line];
    const [first] = held;
    if (first === undefined || held.length < linesPerReading) return;
    const text = held.map((each) => each.text).join(LINE_JOINT);
    if (text.length <= LONGEST_LINE && pattern.test(text)) {
      found = true;
      held = [];
      tell({ text, began: first.began, at: line.at, fault: undefined });
      return;
    }
    leave(held.slice(0, 1));
    held = held.slice(1);
  };
}
