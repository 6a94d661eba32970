/**
 * What went where: a stream from the sources at the left to what it became at the right, with what leaves it on the way.
 * All widths are in one proportion to the values, and every part has its value beside it. What the figures do not account
 * for is drawn like all else, with a broken outline. A part too small to be seen is a line.
 */
import { area, curveBumpX } from 'd3-shape';
import { apart, at, Chart, cut, INK, TEXT, widthOf } from './Chart.tsx';
import { type Flow, type FlowGiven, type FlowPart, flowOf, largest, sum } from './flow.ts';

export interface FlowChartProps extends FlowGiven {
  /** A value with its unit. */
  readonly show: (value: number) => string;
  /** What the sources are called where the smallest are put together: `lots`. */
  readonly sourcesAre: string;
  /** In points. */
  readonly width: number;
}

/** Height of the stream, of a line of labels, and room for the names of the stages, in points. */
const STREAM = 62;
const LABEL = TEXT + 2;
const HEAD = 24;
const MOST_SOURCES = 7;
const SOURCES_WIDTH = 132;
const ENDS_WIDTH = 124;
const BEND = 26;

interface Band {
  readonly part: FlowPart;
  readonly from: { readonly x: number; readonly top: number };
  readonly to: { readonly x: number; readonly top: number };
  readonly thick: number;
  readonly label: { readonly x: number; readonly y: number; readonly end: boolean; readonly room: number };
}

interface Box {
  readonly left: number;
  readonly right: number;
  readonly top: number;
  readonly bottom: number;
}

export function FlowChart(props: FlowChartProps) {
  const { width, show } = props;
  const flow = flowOf({ ...props, sources: largest(props.sources, MOST_SOURCES, othersOf(props.sourcesAre)) });
  const { bands, stream, places, bottom, worded } = layOut(flow, width, show);
  return (
    <Chart width={width} height={bottom} says={inWords(flow, show)}>
      {stream.map(({ key, path }) => (
        <path key={key} d={path} fill={INK.fill} />
      ))}
      {bands.map(({ part, from, to, thick, label }, index) => {
        const isDifference = part.difference !== undefined;
        return (
          // biome-ignore lint/suspicious/noArrayIndexKey: rendered once, never reordered
          <g key={index}>
            <path
              d={ribbon(from, to, thick)}
              fill={isDifference ? '#fff' : INK.fill}
              stroke={isDifference ? INK.line : INK.soft}
              strokeWidth={isDifference ? 0.8 : 0.4}
              strokeDasharray={isDifference ? '2.5 1.5' : undefined}
            />
            <text
              x={at(label.x)}
              y={at(label.y + TEXT * 0.35)}
              textAnchor={label.end ? 'end' : 'start'}
              fontWeight={isDifference ? 'bold' : undefined}
            >
              {worded(part, label.room)}
            </text>
          </g>
        );
      })}
      {places.map(({ x, name, total, tall, room }) => (
        <g key={x}>
          <path d={`M${at(x)},${HEAD - 3}V${at(HEAD + tall)}`} stroke={INK.line} strokeWidth={1} />
          <text x={at(x)} y={TEXT} fontWeight="bold">
            {cut(name, room)}
          </text>
          <text x={at(x)} y={2 * TEXT + 2}>
            {show(total)}
          </text>
        </g>
      ))}
    </Chart>
  );
}

function layOut(flow: Flow, width: number, show: (value: number) => string) {
  const { sources, steps, ends } = flow;
  const tallest = Math.max(...steps.map(({ total }) => total), Number.MIN_VALUE);
  const thick = (value: number) => (value / tallest) * STREAM;
  const right = width - ENDS_WIDTH;
  const gap = steps.length > 1 ? (right - SOURCES_WIDTH - BEND) / (steps.length - 1) : 0;
  const x = (index: number) => SOURCES_WIDTH + BEND + gap * index;
  const bands: Band[] = [];
  const taken: Box[] = [];
  /** The text of a part's label, cut to its room, and the place that it takes beside its ribbon. */
  const worded = (part: FlowPart, room: number) => {
    const value = show(part.value);
    return `${cut(part.name, room - widthOf(` ${value}`))} ${value}`;
  };
  /** The first row from `row` on where nothing stands between `left` and `right`. */
  const freeRow = (left: number, right: number, tall: number, row: number): number => {
    const inTheWay = taken.find((box) => {
      return box.left < right + 2 && left < box.right + 2 && box.top < row + tall && row < box.bottom;
    });
    if (inTheWay) return freeRow(left, right, tall, inTheWay.bottom + 1);
    taken.push({ left, right, top: row, bottom: row + tall });
    return row;
  };

  let top = HEAD;
  const rows = apart(middles(sources, HEAD, thick), LABEL, HEAD, HEAD + STREAM + sources.length * LABEL);
  sources.forEach((part, index) => {
    const tall = thick(part.value);
    const row = rows[index] ?? 0;
    const label = { x: SOURCES_WIDTH - 4, y: row, end: true, room: SOURCES_WIDTH - 4 };
    bands.push({ part, from: { x: SOURCES_WIDTH, top: row - tall / 2 }, to: { x: x(0), top }, thick: tall, label });
    taken.push({ left: 0, right: x(0), top: row - LABEL / 2, bottom: row + LABEL / 2 });
    top += tall;
  });

  // The names at the right end stand before what leaves on the way looks for its rows.
  const endsFrom = x(steps.length - 1);
  const endRows = apart(middles(ends, HEAD, thick), LABEL, HEAD, HEAD + STREAM + ends.length * LABEL);
  for (const row of endRows) {
    taken.push({ left: endsFrom, right: width, top: row - LABEL / 2, bottom: row + LABEL / 2 });
  }

  let lowest = Math.max(HEAD + STREAM, ...rows.map((row) => row + LABEL / 2));
  steps.forEach(({ total, off, joins }, index) => {
    // What leaves peels off below, the first part lowest in its rows so that no two cross.
    let edge = HEAD + thick(total);
    let row = HEAD + STREAM + 8;
    for (const part of off) {
      const tall = thick(part.value);
      edge -= tall;
      const end = x(index) + BEND;
      const label = { x: end + 4, end: false, room: width - end - 4 };
      const high = Math.max(tall, LABEL);
      row = freeRow(x(index), label.x + widthOf(worded(part, label.room)), high, row);
      const middle = row + high / 2;
      bands.push({
        part,
        from: { x: x(index), top: edge },
        to: { x: end, top: middle - tall / 2 },
        thick: tall,
        label: { ...label, y: middle },
      });
      row += high + 3;
    }
    let inner = HEAD + thick(total);
    for (const part of joins) {
      const tall = thick(part.value);
      inner -= tall;
      const start = x(index) - BEND;
      const label = { x: start - 4, end: true, room: start - 4 };
      const high = Math.max(tall, LABEL);
      row = freeRow(label.x - widthOf(worded(part, label.room)), x(index), high, row);
      const middle = row + high / 2;
      bands.push({
        part,
        from: { x: start, top: middle - tall / 2 },
        to: { x: x(index), top: inner },
        thick: tall,
        label: { ...label, y: middle },
      });
      row += high + 3;
    }
    lowest = Math.max(lowest, row);
  });

  if (ends.length > 0) {
    const from = endsFrom;
    let edge = HEAD;
    ends.forEach((part, index) => {
      const tall = thick(part.value);
      const row = endRows[index] ?? 0;
      const label = { x: from + BEND + 4, y: row, end: false, room: width - from - BEND - 4 };
      bands.push({
        part,
        from: { x: from, top: edge },
        to: { x: from + BEND, top: row - tall / 2 },
        thick: tall,
        label,
      });
      edge += tall;
      lowest = Math.max(lowest, row + LABEL / 2);
    });
  }

  const stream = steps.slice(0, -1).map(({ name, total, off }, index) => {
    const tall = thick(total - sum(off));
    return {
      key: `${index} ${name}`,
      path: `M${at(x(index))},${HEAD}H${at(x(index + 1))}v${at(tall)}H${at(x(index))}z`,
    };
  });
  if (ends.length === 0) {
    const step = steps.at(-1);
    const from = x(steps.length - 1);
    const tall = thick((step?.total ?? 0) - sum(step?.off ?? []));
    stream.push({ key: 'on', path: `M${at(from)},${HEAD}H${at(width)}v${at(tall)}H${at(from)}z` });
  }
  const places = steps.map(({ name, total }, index) => {
    const room = (index < steps.length - 1 ? gap : width - x(index)) - 4;
    return { x: x(index), name, total, tall: thick(total), room };
  });
  return { bands, stream, places, worded, bottom: Math.ceil(lowest + 3) };
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

function ribbon(from: Band['from'], to: Band['to'], thick: number): string {
  const path = area<{ readonly x: number; readonly top: number }>(
    ({ x }) => at(x),
    ({ top }) => at(top + thick),
    ({ top }) => at(top),
  ).curve(curveBumpX)([from, to]);
  return path ?? '';
}

const othersOf = (what: string) => (count: number) => `${count} other ${what}`;

function inWords({ sources, steps, ends }: Flow, show: (value: number) => string): string {
  const list = (parts: readonly FlowPart[]) => parts.map(({ name, value }) => `${name} ${show(value)}`).join(', ');
  const says = steps.map(({ name, total, off, joins }, index) => {
    const came = joins.length > 0 ? `, with ${list(joins)}` : '';
    const left = off.length > 0 ? `; from here ${list(off)}` : '';
    return `${name} ${show(total)}${came}${index === 0 ? ` (${list(sources)})` : ''}${left}`;
  });
  return `What went where. ${[...says, ...(ends.length > 0 ? [list(ends)] : [])].join('. ')}.`;
}
