/**
 * What went where: a stream from the sources at the left to what it became at the right, with what leaves it on the way.
 * All widths are in one proportion to the values, and every part has its value beside it. What the figures do not account
 * for is drawn like all else, with a broken outline. A part too small to be seen is a line.
 */
import { area, curveBumpX } from 'd3-shape';
import { at, Chart, cut, INK, TEXT } from './Chart.tsx';
import { type Flow, type FlowGiven, type FlowPart, flowOf, largest } from './flow.ts';
import { type Band, HEAD, LINE, layOut } from './flowLayout.ts';

export interface FlowChartProps extends FlowGiven {
  /** A value with its unit. */
  readonly show: (value: number) => string;
  /** What the sources are called where the smallest are put together: `lots`. */
  readonly sourcesAre: string;
  /** In points. */
  readonly width: number;
}

const MOST_SOURCES = 7;

export function FlowChart(props: FlowChartProps) {
  const { width, show } = props;
  const flow = flowOf({ ...props, sources: largest(props.sources, MOST_SOURCES, othersOf(props.sourcesAre)) });
  const { bands, stream, places, bottom } = layOut(flow, width, show);
  return (
    <Chart width={width} height={bottom} says={inWords(flow, show)}>
      {stream.map(({ key, from, to, tall }) => (
        <path key={key} d={`M${at(from)},${HEAD}H${at(to)}v${at(tall)}H${at(from)}z`} fill={INK.fill} />
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
            {label.lines.map((line, row) => (
              <text
                key={line}
                x={at(label.x)}
                y={at(label.y + row * LINE + TEXT * 0.35)}
                textAnchor={label.end ? 'end' : 'start'}
                fontWeight={isDifference ? 'bold' : undefined}
              >
                {line}
              </text>
            ))}
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
