/** Several lines for one reading: how many, and which is the first. */
import type { Line } from '../wire/receiver.ts';

/** Lines that follow each other within this belong together, milliseconds; on slow lines within two bytes and the like. */
function atOnce(baud: number): number {
  return Math.max(30, 20 + 20_000 / baud);
}

const MOST_LINES = 6;
/**
 * So much more waiting must lie before first lines than before any others: in all, and each time in milliseconds. A USB
 * adapter may hold bytes back for 16 ms (common practice, no source).
 */
const CLEARLY = { times: 3, ms: 18 };

/** The lines of each reading, moment by moment; undefined: it can't be told where a reading begins. */
export function groupLines(
  moments: readonly (readonly Line[])[],
  baud: number,
): readonly (readonly Line[][])[] | undefined {
  const pause = atOnce(baud);
  const count = usualBurst(moments, pause);
  if (count === 1 && !moments.some(takesTurns)) return oneByOne(moments);
  if (count !== undefined && count > 1) {
    return count > MOST_LINES
      ? undefined
      : moments.map((lines) =>
          splitAtPauses(lines, pause).filter((lines) => lines.length === count && lines.every(isWhole)),
        );
  }
  return groupByTurn(moments);
}

/** Whether lines of one structure come again after every second, third ... line: then a line alone is no reading. */
function takesTurns(lines: readonly Line[]): boolean {
  const places = new Map<string, number[]>();
  for (const [index, { text }] of lines.entries()) {
    const structure = text
      .replace(/\d+([.,:]\d+)*/g, '0')
      .replace(/[A-Za-z]+/g, 'a')
      .replace(/[-+ ]+/g, '');
    places.set(structure, [...(places.get(structure) ?? []), index]);
  }
  return [...places.values()].some((at) => {
    const steps = at.slice(1).map((index, before) => index - (at[before] ?? 0));
    return steps.length >= 4 && steps.every((step) => step === steps[0] && step > 1);
  });
}

const isWhole = ({ fault }: Line): boolean => fault === undefined;

function oneByOne(moments: readonly (readonly Line[])[]): readonly (readonly Line[][])[] {
  return moments.map((lines) => lines.filter(isWhole).map((line) => [line]));
}

function splitAtPauses(lines: readonly Line[], pause: number): Line[][] {
  const bursts: Line[][] = [];
  for (const [index, line] of lines.entries()) {
    const before = lines[index - 1];
    if (before === undefined || line.began - before.at > pause) bursts.push([line]);
    else bursts.at(-1)?.push(line);
  }
  return bursts;
}

/** How many lines come at once, each time; undefined without clear pauses. */
function usualBurst(moments: readonly (readonly Line[])[], pause: number): number | undefined {
  const counts = new Map<number, number>();
  let all = 0;
  for (const lines of moments) {
    // The first and the last of a moment may have been cut.
    const bursts = splitAtPauses(lines, pause);
    for (const { length } of bursts.length > 2 ? bursts.slice(1, -1) : bursts) {
      counts.set(length, (counts.get(length) ?? 0) + length);
      all += length;
    }
  }
  const [usual, lines] = [...counts].sort((a, b) => b[1] - a[1])[0] ?? [1, 0];
  const longer = [...counts].reduce((sum, [length, count]) => sum + (length > usual ? count : 0), 0);
  // Shorter ones have lost a line to damage; longer ones would be readings without a pause.
  return lines >= 0.85 * all || (usual > 1 && lines >= 0.6 * all && longer <= 0.05 * all) ? usual : undefined;
}

/** Lines that came on one another, without a long silence among them. */
interface Stretch {
  readonly moment: number;
  readonly lines: readonly Line[];
  /**
   * How many lines of a reading came between a long silence and this stretch; undefined: it began with the moment. What
   * a scale says first after a silence begins a reading; half a line from before the silence spoils that one.
   */
  readonly missed: number | undefined;
}

/** What is no pause between readings, milliseconds. */
const SILENCE = 400;

function stretchesOf(moments: readonly (readonly Line[])[]): Stretch[] {
  return moments.flatMap((lines, moment) => {
    const stretches: { moment: number; lines: Line[]; missed: number | undefined }[] = [];
    let open: Line[] | undefined;
    let missed: number | undefined;
    for (const [index, line] of lines.entries()) {
      // Half a line from before a silence, and the first one after it, are read as one.
      const isSpoiled = line.at - line.began > SILENCE;
      if (isSpoiled || !isWhole(line)) {
        open = undefined;
        missed = isSpoiled ? 1 : undefined;
        continue;
      }
      const isAfterSilence = line.began - (lines[index - 1]?.at ?? line.began) > SILENCE;
      if (open === undefined || isAfterSilence) {
        open = [];
        stretches.push({ moment, lines: open, missed: isAfterSilence ? 0 : missed });
      }
      missed = undefined;
      open.push(line);
    }
    return stretches;
  });
}

/**
 * Without clear pauses: lines of different shapes take turns. The first of a reading is what comes first after a
 * silence, or that with most of the waiting before it.
 */
function groupByTurn(moments: readonly (readonly Line[])[]): readonly (readonly Line[][])[] | undefined {
  const stretches = stretchesOf(moments);
  const parts = stretches.map(({ lines }) => lines);
  for (let count = MOST_LINES; count > 1; count--) {
    const turns = turnsOf(parts, count);
    if (turns === undefined) continue;
    const told = firstAfterSilence(stretches, turns, count);
    const waited = longestWaited(parts, turns, count);
    const first = told ?? waited;
    if (first === undefined || (waited !== undefined && waited !== first)) return undefined;
    return moments.map((_, moment) =>
      stretches.flatMap((stretch, place) =>
        stretch.moment !== moment
          ? []
          : stretch.lines.flatMap((_line, index) =>
              turns[place]?.[index] === first && index + count <= stretch.lines.length
                ? [stretch.lines.slice(index, index + count)]
                : [],
            ),
      ),
    );
  }
  return moments.some(takesTurns) ? undefined : oneByOne(moments);
}

/** Whose turn it is after a silence; undefined when there was none, or not always the same one came. */
function firstAfterSilence(
  stretches: readonly Stretch[],
  turns: readonly (readonly number[])[],
  count: number,
): number | undefined {
  const firsts = stretches.flatMap(({ missed, lines }, place) =>
    missed === undefined || lines.length < count ? [] : [((turns[place]?.[0] ?? 0) - missed + count) % count],
  );
  return firsts.every((each) => each === firsts[0]) ? firsts[0] : undefined;
}

/** Whose turn each line is; undefined when the same shape would come on different turns. */
function turnsOf(moments: readonly (readonly Line[])[], count: number): readonly (readonly number[])[] | undefined {
  const shapes = Array.from({ length: count }, () => new Set<string>());
  const order = moments
    .map((_, moment) => moment)
    .sort((a, b) => (moments[b]?.length ?? 0) - (moments[a]?.length ?? 0));
  const offsets: number[] = moments.map(() => 0);
  for (const moment of order) {
    const lines = (moments[moment] ?? []).map(shapeOf);
    const matches = (offset: number): number =>
      lines.filter((shape, index) => shapes[(index + offset) % count]?.has(shape)).length;
    const best = Array.from({ length: count }, (_, offset) => offset).sort((a, b) => matches(b) - matches(a))[0] ?? 0;
    offsets[moment] = best;
    for (const [index, shape] of lines.entries()) shapes[(index + best) % count]?.add(shape);
  }
  const all = shapes.flatMap((of) => [...of]);
  if (shapes.some((of) => of.size === 0) || new Set(all).size !== all.length) return undefined;
  return moments.map((lines, moment) => lines.map((_, index) => (index + (offsets[moment] ?? 0)) % count));
}

function longestWaited(
  moments: readonly (readonly Line[])[],
  turns: readonly (readonly number[])[],
  count: number,
): number | undefined {
  const waits = moments.flatMap((lines, moment) =>
    lines
      .slice(1)
      .map((line, index) => ({ turn: turns[moment]?.[index + 1] ?? 0, waited: line.began - (lines[index]?.at ?? 0) })),
  );
  const least = [...waits].sort((a, b) => a.waited - b.waited)[Math.floor(waits.length / 10)]?.waited ?? 0;
  const means = Array.from({ length: count }, (_, turn) => {
    const mine = waits.filter((each) => each.turn === turn).map(({ waited }) => Math.max(0, waited - least));
    return mine.reduce((sum, each) => sum + each, 0) / Math.max(1, mine.length);
  });
  const [most = 0, next = 0] = [...means].sort((a, b) => b - a);
  return most >= CLEARLY.times * next && most - next >= CLEARLY.ms ? means.indexOf(most) : undefined;
}

/** What stays of a line whatever number it shows. */
function shapeOf({ text }: Line): string {
  return text
    .replace(/\d+([.,:]\d+)*/g, '0')
    .replace(/[-+ ]+/g, ' ')
    .trim();
}
