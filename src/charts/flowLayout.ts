/**
 * Where the parts of a flow chart lie. Nothing lies on a label: neither another label nor a ribbon, so a ribbon keeps its
 * columns free from the stream down to its own row.
 */
import { apart, cut, TEXT, widthOf } from './Chart.tsx';
import { type Flow, type FlowPart, sum } from './flow.ts';

/** Height of the stream, of a line of labels, and room for the names of the stages, in points. */
const STREAM = 62;
const LABEL = TEXT + 2;
export const HEAD = 24;
const SOURCES_WIDTH = 132;
const ENDS_WIDTH = 124;
/** Width of a ribbon: of sources and ends, and of what leaves or joins on the way. */
const BEND = 26;
const SIDE_BEND = 14;

export interface Band {
  readonly part: FlowPart;
  readonly from: { readonly x: number; readonly top: number };
  readonly to: { readonly x: number; readonly top: number };
  readonly thick: number;
  readonly label: Label;
}

export interface Label {
  readonly x: number;
  /** Middle of its first line. */
  readonly y: number;
  /** It ends at `x`. */
  readonly end: boolean;
  /** In one line; in two where there is no room: what it is, and how much. */
  readonly lines: readonly string[];
}

interface Box {
  readonly left: number;
  readonly right: number;
  readonly top: number;
  readonly bottom: number;
}

/** Height of a line of a label. */
export const LINE = LABEL;

export function layOut(flow: Flow, width: number, show: (value: number) => string) {
  const { sources, steps, ends } = flow;
  const tallest = Math.max(...steps.map(({ total }) => total), Number.MIN_VALUE);
  const thick = (value: number) => (value / tallest) * STREAM;
  const right = width - ENDS_WIDTH;
  const gap = steps.length > 1 ? (right - SOURCES_WIDTH - BEND) / (steps.length - 1) : 0;
  const x = (index: number) => SOURCES_WIDTH + BEND + gap * index;
  const below = HEAD + STREAM + 8;
  const taken: Box[] = [];
  const oneLine = ({ name, value }: FlowPart, room: number) => {
    const much = show(value);
    return `${cut(name, room - widthOf(` ${much}`))} ${much}`;
  };
  const worded = (part: FlowPart, room: number): string[] => {
    const [name, much] = [part.name, show(part.value)];
    return widthOf(`${name} ${much}`) <= room ? [`${name} ${much}`] : [cut(name, room), much];
  };
  /** The first row from `row` on where nothing stands between `left` and `right`. */
  const freeRow = (left: number, right: number, tall: number, row: number): number => {
    const inTheWay = taken.find((box) => {
      return box.left < right + 2 && left < box.right + 2 && box.top < row + tall && row < box.bottom;
    });
    return inTheWay ? freeRow(left, right, tall, inTheWay.bottom + 1) : row;
  };

  let top = HEAD;
  const rows = apart(middles(sources, HEAD, thick), LABEL, HEAD, HEAD + STREAM + sources.length * LABEL);
  const incoming = sources.map((part, index): Band => {
    const tall = thick(part.value);
    const row = rows[index] ?? 0;
    const lines = [oneLine(part, SOURCES_WIDTH - 4)];
    taken.push({ left: 0, right: x(0), top: row - LABEL / 2, bottom: row + LABEL / 2 });
    const to = { x: x(0), top };
    top += tall;
    const label = { x: SOURCES_WIDTH - 4, y: row, end: true, lines };
    return { part, from: { x: SOURCES_WIDTH, top: row - tall / 2 }, to, thick: tall, label };
  });

  // The names at the right end stand before what leaves on the way looks for its rows.
  const endsFrom = x(steps.length - 1);
  const endRows = apart(middles(ends, HEAD, thick), LABEL, HEAD, HEAD + STREAM + ends.length * LABEL);
  let edge = HEAD;
  const outgoing = ends.map((part, index): Band => {
    const tall = thick(part.value);
    const row = endRows[index] ?? 0;
    const label = { x: endsFrom + BEND + 4, y: row, end: false };
    const lines = [oneLine(part, width - label.x)];
    taken.push({ left: endsFrom, right: endsFrom + BEND, top: HEAD, bottom: row + tall / 2 });
    taken.push({ left: label.x, right: width, top: row - LABEL / 2, bottom: row + LABEL / 2 });
    const from = { x: endsFrom, top: edge };
    edge += tall;
    return { part, from, to: { x: endsFrom + BEND, top: row - tall / 2 }, thick: tall, label: { ...label, lines } };
  });

  /**
   * A part that leaves the stream at `x`, to the right, or joins it there, from the left: its label takes the first free
   * row, and its ribbon all above that.
   */
  const aside = (part: FlowPart, at: number, inner: number, room: number, from: number, joins: boolean) => {
    const tall = thick(part.value);
    const outer = at + (joins ? -SIDE_BEND : SIDE_BEND);
    const start = outer + (joins ? -4 : 4);
    const lines = worded(part, room);
    const wide = Math.max(...lines.map((line) => widthOf(line)));
    const high = Math.max(tall, LABEL * lines.length);
    const [left, right] = joins ? [start - wide, at] : [at, start + wide];
    const row = freeRow(left, right, high, from);
    taken.push({ left, right, top: row, bottom: row + high });
    taken.push({ left: Math.min(at, outer), right: Math.max(at, outer), top: HEAD, bottom: row + high });
    const middle = row + high / 2;
    const [inside, outside] = [
      { x: at, top: inner },
      { x: outer, top: middle - tall / 2 },
    ];
    const label = { x: start, y: middle - ((lines.length - 1) * LABEL) / 2, end: joins, lines };
    const ends = joins ? { from: outside, to: inside } : { from: inside, to: outside };
    return { band: { part, ...ends, thick: tall, label } satisfies Band, next: row + high + 3 };
  };
  // Parts of one stage lie in the order of their rows, so that no two cross.
  const stack = (parts: readonly FlowPart[], index: number, room: number, joins: boolean): Band[] => {
    let inner = HEAD + thick(steps[index]?.total ?? 0) - thick(sum(parts));
    let row = below;
    return parts.map((part) => {
      const { band, next } = aside(part, x(index), inner, room, row, joins);
      inner += thick(part.value);
      row = next;
      return band;
    });
  };
  // What leaves, from the right: an earlier label that reaches below a later ribbon goes under that one's row. Then what
  // joins, below all that; what leaves before it keeps off its columns.
  const off = steps.map((): Band[] => []);
  for (let index = steps.length - 1; index >= 0; index--) {
    const joined = steps.findIndex((step, later) => later > index && step.joins.length > 0);
    const start = x(index) + SIDE_BEND + 4;
    const until = joined < 0 ? width : x(joined) - SIDE_BEND - 4;
    off[index] = stack(steps[index]?.off ?? [], index, until - start, false);
  }
  const joins = steps.map((step, index) => stack(step.joins, index, x(index) - SIDE_BEND - 4, true));

  const stream = steps.slice(0, -1).map(({ name, total, off }, index) => {
    return { key: `${index} ${name}`, from: x(index), to: x(index + 1), tall: thick(total - sum(off)) };
  });
  const last = steps.at(-1);
  if (ends.length === 0 && last !== undefined) {
    stream.push({ key: 'on', from: x(steps.length - 1), to: width, tall: thick(last.total - sum(last.off)) });
  }
  const places = steps.map(({ name, total }, index) => {
    const room = (index < steps.length - 1 ? gap : width - x(index)) - 4;
    return { x: x(index), name, total, tall: thick(total), room };
  });
  const bands = [
    ...incoming,
    ...steps.flatMap((_, index) => [...(off[index] ?? []), ...(joins[index] ?? [])]),
    ...outgoing,
  ];
  const lowest = Math.max(HEAD + STREAM, ...taken.map(({ bottom }) => bottom));
  return { bands, stream, places, bottom: Math.ceil(lowest + 4) };
}

/** Where the middles of parts lie that are stacked from `top` down. */
function middles(parts: readonly FlowPart[], top: number, thick: (value: number) => number): number[] {
  let edge = top;
  return parts.map(({ value }) => {
    const tall = thick(value);
    edge += tall;
    return edge - tall / 2;
  });
}
