/** Several lines for one reading: how many, and which is the first. */
import type { Line } from '../wire/receiver.ts';

/** Lines that follow each other within this belong together, milliseconds. */
const AT_ONCE = 30;
const MOST_LINES = 6;
/** So much more waiting must lie before first lines than before any others. */
const CLEARLY = 3;

/** The lines of each reading, moment by moment; undefined: it can't be told where a reading begins. */
export function groupLines(moments: readonly (readonly Line[])[]): readonly (readonly Line[][])[] | undefined {
  const count = usualBurst(moments);
  if (count === 1) return moments.map((lines) => lines.map((line) => [line]));
  if (count !== undefined) {
    return count > MOST_LINES
      ? undefined
      : moments.map((lines) => splitAtPauses(lines).filter(({ length }) => length === count));
  }
  return groupByTurn(moments);
}

function splitAtPauses(lines: readonly Line[]): Line[][] {
  const bursts: Line[][] = [];
  for (const [index, line] of lines.entries()) {
    const before = lines[index - 1];
    if (before === undefined || line.began - before.at > AT_ONCE) bursts.push([line]);
    else bursts.at(-1)?.push(line);
  }
  return bursts;
}

/** How many lines come at once, each time; undefined without clear pauses. */
function usualBurst(moments: readonly (readonly Line[])[]): number | undefined {
  const counts = new Map<number, number>();
  let all = 0;
  for (const lines of moments) {
    // The first and the last of a moment may have been cut.
    const bursts = splitAtPauses(lines);
    for (const { length } of bursts.length > 2 ? bursts.slice(1, -1) : bursts) {
      counts.set(length, (counts.get(length) ?? 0) + 1);
      all += 1;
    }
  }
  const [usual, times] = [...counts].sort((a, b) => b[1] - a[1])[0] ?? [1, 0];
  return times >= 0.85 * all ? usual : undefined;
}

/** Without clear pauses: lines of different kinds take turns, and before one kind there is most of the waiting. */
function groupByTurn(moments: readonly (readonly Line[])[]): readonly (readonly Line[][])[] | undefined {
  const kinds = moments.map((lines) => lines.map(kindOf));
  const different = new Set(kinds.flat());
  if (different.size === 1) return moments.map((lines) => lines.map((line) => [line]));
  const count = different.size;
  if (count > MOST_LINES) return undefined;
  const takeTurns = kinds.every((of) =>
    of.every(
      (kind, index) =>
        new Set(of.slice(index, index + count)).size === Math.min(count, of.length - index) &&
        (of[index + count] ?? kind) === kind,
    ),
  );
  if (!takeTurns) return undefined;
  const waiting = new Map<string, number>();
  for (const lines of moments) {
    for (const [index, line] of lines.entries()) {
      const before = lines[index - 1];
      if (before) waiting.set(kindOf(line), (waiting.get(kindOf(line)) ?? 0) + line.began - before.at);
    }
  }
  const [first, second] = [...waiting].sort((a, b) => b[1] - a[1]);
  if (!first || (second && first[1] < CLEARLY * second[1])) return undefined;
  return moments.map((lines) =>
    lines.flatMap((line, index) =>
      kindOf(line) === first[0] && index + count <= lines.length ? [lines.slice(index, index + count)] : [],
    ),
  );
}

/** Kinds of lines: how many numbers they have, and whether there are words. */
function kindOf({ text }: Line): string {
  const numbers = text.match(/\d+([.,:]\d+)*/g)?.length ?? 0;
  return `${numbers} ${/[A-Za-z]{3}/.test(text)}`;
}
