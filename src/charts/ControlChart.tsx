/**
 * Values one by one in their order, with levels to compare them with: a control chart of individuals where these are the
 * mean and its limits. The levels are the caller's; nothing is worked out here.
 */
import { scaleLinear } from 'd3-scale';
import { line, symbol, symbolCircle, symbolDiamond, symbolTimes } from 'd3-shape';
import { at, Chart, INK, TEXT } from './Chart.tsx';
import { BaseAxis, type Box, type Level, Levels, ValueAxis } from './rules.tsx';

/** `out`: outside what it should be, drawn larger and hollow; `void`: does not count, a cross, and no line goes to it. */
export type PointMark = 'in' | 'out' | 'void';

export interface ControlPoint {
  /** Place in the order, from 1. */
  readonly place: number;
  readonly value: number;
  readonly mark: PointMark;
}

export interface ControlChartProps {
  readonly points: readonly ControlPoint[];
  readonly levels: readonly Level[];
  readonly unit: string;
  /** What the places are: `bar`, `check`. */
  readonly places: string;
  /** What it shows, in words and with its numbers. */
  readonly says: string;
  /** In points. */
  readonly width: number;
  readonly height: number;
}

const SHAPES = { in: symbolCircle, out: symbolDiamond, void: symbolTimes } as const;
const SIZES = { in: 9, out: 34, void: 22 } as const;

export function ControlChart({ points, levels, unit, places, says, width, height }: ControlChartProps) {
  const labels = levels.length === 0 ? 8 : Math.min(96, width / 4);
  const box: Box = { left: 34, right: width - labels, top: 13, bottom: height - 24 };
  const last = Math.max(2, ...points.map(({ place }) => place));
  const x = scaleLinear([1, last], [box.left + 8, box.right - 8]);
  const y = scaleLinear(reach([...points, ...levels].map(({ value }) => value)), [box.bottom, box.top]);
  const joined = line<ControlPoint>(
    ({ place }) => at(x(place)),
    ({ value }) => at(y(value)),
  )(points.filter(({ mark }) => mark !== 'void'));
  const ticks = x.ticks(Math.min(last, 12)).filter(Number.isInteger);
  return (
    <Chart width={width} height={height} says={says}>
      <ValueAxis scale={y} box={box} name={unit} />
      <BaseAxis scale={x} box={box} name={places} ticks={ticks} />
      <Levels of={levels} scale={y} box={box} right={width} />
      <path d={joined ?? ''} fill="none" stroke={INK.soft} strokeWidth={0.7} />
      {points.map(({ place, value, mark }) => (
        <g key={place}>
          <path
            d={symbol(SHAPES[mark], SIZES[mark])() ?? ''}
            transform={`translate(${at(x(place))},${at(y(value))})`}
            fill={mark === 'out' ? '#fff' : INK.line}
            stroke={INK.line}
            strokeWidth={mark === 'in' ? 0 : 1}
          />
          {mark === 'out' && (
            <text x={at(x(place))} y={at(y(value) - 6)} textAnchor="middle" fontSize={TEXT - 0.5}>
              {place}
            </text>
          )}
        </g>
      ))}
    </Chart>
  );
}

/** From a little below the smallest value to a little above the largest. */
export function reach(values: readonly number[]): [number, number] {
  const least = Math.min(...values);
  const most = Math.max(...values);
  if (!Number.isFinite(least) || !Number.isFinite(most)) return [0, 1];
  const room = most > least ? (most - least) * 0.08 : Math.max(Math.abs(most) * 0.01, 1e-6);
  return [least - room, most + room];
}
