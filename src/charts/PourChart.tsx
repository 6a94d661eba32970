/**
 * How a pour went: the weight against time, and the band as a doorway that the line has to end in.
 *
 * A band of one percent would be a hairline on an even scale. So what lies below it, the band itself and what lies above
 * it each get a stretch of their own height; within a stretch the scale is even. `BELOW` says how they share.
 */
import { scaleLinear } from 'd3-scale';
import { line } from 'd3-shape';
import { apart, at, Chart, INK, TEXT } from './Chart.tsx';

/** Shares of the height: below the band, and the band where nothing lies above it and where something does. */
const BELOW = 0.55;
const DOOR = 0.36;
const DOOR_UNDER_TOO_MUCH = 0.22;

export interface PourChartProps {
  /** Seconds and weight, in the order of time; at least two. */
  readonly points: readonly (readonly [seconds: number, value: number])[];
  /** The lowest and highest weight that is right, and what is aimed at, in the same unit. */
  readonly low: number;
  readonly target: number;
  readonly high: number;
  /** The pour had begun before the first point. */
  readonly midway?: boolean;
  /** A value with its decimals, without the unit. */
  readonly show: (value: number) => string;
  readonly unit: string;
  /** Whose pour it is, for the words: `Pour of shea butter`. */
  readonly name: string;
  /** In points; below 150 there is room for the shape only, and the values should stand beside it. */
  readonly width: number;
  readonly height: number;
}

export function PourChart(props: PourChartProps) {
  const { points, low, target, high, midway = false, show, width, height } = props;
  const isSmall = width < 150;
  const box = isSmall
    ? { left: 3, right: width - 4, top: 3, bottom: height - 3 }
    : { left: 46, right: width - 6, top: 8, bottom: height - 20 };
  const values = points.map(([, value]) => value);
  const most = Math.max(high, ...values);
  const isOver = most > high;
  const seconds = Math.max(points.at(-1)?.[0] ?? 0, 0.1);
  const x = scaleLinear([0, seconds], [box.left, box.right]);
  const y = heights(Math.min(0, ...values), low, high, most, box);
  const path = line<readonly [number, number]>(
    ([second]) => at(x(second)),
    ([, value]) => at(y(value)),
  )(points);
  const [endAt, end] = points.at(-1) ?? [0, 0];
  // Right of where it has come down again there is room.
  const lastOver = points.findLastIndex(([, value]) => value > high);
  const [cameDown] = points[lastOver + 1] ?? points[lastOver] ?? [0];
  const [top, bottom] = [y(high), y(low)];
  const [highAt = 0, targetAt = 0, lowAt = 0] = apart([top, y(target), bottom], TEXT + 1, 0, height);
  const tall = TEXT * 0.35;
  return (
    <Chart width={width} height={height} says={inWords(props)}>
      <rect x={box.left} y={at(top)} width={at(box.right - box.left)} height={at(bottom - top)} fill={INK.fill} />
      <path
        d={`M${box.left},${at(top)}H${box.right}M${box.left},${at(bottom)}H${box.right}`}
        stroke={INK.soft}
        strokeWidth={0.6}
      />
      <path
        d={`M${box.left},${at(y(target))}H${box.right}`}
        stroke={INK.soft}
        strokeWidth={0.6}
        strokeDasharray="2 1.5"
      />
      <path d={`M${box.left},${box.bottom}H${box.right}`} stroke={INK.rule} strokeWidth={0.6} />
      <path d={path ?? ''} fill="none" stroke={INK.line} strokeWidth={1.1} strokeLinejoin="round" />
      {midway && <circle cx={at(x(0))} cy={at(y(values[0] ?? 0))} r={2} fill="#fff" stroke={INK.line} />}
      <circle cx={at(x(endAt))} cy={at(y(end))} r={1.8} />
      {isOver && !isSmall && (
        <text
          x={at(Math.min(x(cameDown) + 3, box.right - 32))}
          y={at(y(most) + TEXT * (end > high ? 1.2 : 0.75))}
          fontWeight="bold"
          stroke="#fff"
          strokeWidth={2}
          paintOrder="stroke"
        >
          {show(most)}
        </text>
      )}
      <text x={box.right} y={isSmall ? box.bottom - 2 : box.bottom + TEXT + 3} textAnchor="end" fill={INK.soft}>
        {`${Math.round(seconds)} s`}
      </text>
      {!isSmall && (
        <g textAnchor="end">
          <text x={box.left - 4} y={at(highAt + tall)}>
            {show(high)}
          </text>
          <text x={box.left - 4} y={at(targetAt + tall)} fill={INK.soft}>
            {show(target)}
          </text>
          <text x={box.left - 4} y={at(lowAt + tall)}>
            {show(low)}
          </text>
          <text x={box.left - 4} y={at(y(0) + tall)}>
            0
          </text>
          <text x={box.left} y={box.bottom + TEXT + 3} textAnchor="start" fill={INK.soft}>
            0 s
          </text>
        </g>
      )}
    </Chart>
  );
}

/** From the lowest weight to the low end of the band, the band, and what lies above it. */
function heights(least: number, low: number, high: number, most: number, box: { top: number; bottom: number }) {
  const tall = box.bottom - box.top;
  if (low <= least || high <= low) return scaleLinear([least, Math.max(most, least + 1e-9)], [box.bottom, box.top]);
  const door = box.bottom - BELOW * tall;
  const isOver = most > high;
  const above = isOver ? door - DOOR_UNDER_TOO_MUCH * tall : door - DOOR * tall;
  const top = isOver ? most : high + (high - low) / 4;
  return scaleLinear([least, low, high, top], [box.bottom, door, above, box.top]);
}

function inWords({ name, points, low, target, high, midway, show, unit }: PourChartProps): string {
  const values = points.map(([, value]) => value);
  const end = values.at(-1) ?? 0;
  const most = Math.max(...values);
  const seconds = Math.round(points.at(-1)?.[0] ?? 0);
  const from = midway ? `It begins midway, at ${show(values[0] ?? 0)} ${unit}; ` : '';
  const over = most > high ? ` At most ${show(most)} ${unit}, over the band.` : '';
  const where = end > high ? 'over' : end < low ? 'under' : 'in';
  const within = `band ${show(low)} to ${show(high)} ${unit}, target ${show(target)} ${unit}`;
  return `${name}: weight against time. ${from}${seconds} s, to ${show(end)} ${unit}, ${where} the band.${over} The ${within}.`;
}
