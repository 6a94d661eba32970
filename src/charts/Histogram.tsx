/** How often values fall where: bins as bars on their sides' ground, and levels as upright lines. */
import { scaleLinear } from 'd3-scale';
import { apart, at, Chart, cut, INK, TEXT, widthOf } from './Chart.tsx';
import { reach } from './ControlChart.tsx';
import { BaseAxis, type Box, DASHES, type Level, ValueAxis } from './rules.tsx';

export interface HistogramBin {
  readonly from: number;
  readonly to: number;
  /** Values from `from` to below `to`. */
  readonly count: number;
}

export interface HistogramProps {
  readonly bins: readonly HistogramBin[];
  readonly levels: readonly Level[];
  readonly unit: string;
  /** What is counted: `bars`. */
  readonly counted: string;
  /** What it shows, in words and with its numbers. */
  readonly says: string;
  /** In points. */
  readonly width: number;
  readonly height: number;
}

export function Histogram({ bins, levels, unit, counted, says, width, height }: HistogramProps) {
  const box: Box = { left: 26, right: width - 6, top: 13 + levels.length * (TEXT + 1), bottom: height - 24 };
  const ends = [...bins.flatMap(({ from, to }) => [from, to]), ...levels.map(({ value }) => value)];
  const x = scaleLinear(reach(ends), [box.left, box.right]);
  const most = Math.max(1, ...bins.map(({ count }) => count));
  const y = scaleLinear([0, most], [box.bottom, box.top]);
  const whole = scaleLinear([0, most], [box.bottom, box.top]);
  // A count is a whole number: no tick lies between two.
  const ticks = Math.min(4, most);
  whole.ticks = () => y.ticks(ticks).filter(Number.isInteger);
  whole.tickFormat = () => (count) => String(count);
  const rows = apart(
    levels.map((_, index) => 13 + TEXT + index * (TEXT + 1)),
    TEXT + 1,
    0,
    height,
  );
  return (
    <Chart width={width} height={height} says={says}>
      <ValueAxis scale={whole} box={box} name={counted} />
      {bins.map(({ from, to, count }) => (
        <rect
          key={from}
          x={at(x(from))}
          y={at(y(count))}
          width={at(x(to) - x(from))}
          height={at(box.bottom - y(count))}
          fill={INK.fill}
          stroke={INK.line}
          strokeWidth={0.6}
        />
      ))}
      <BaseAxis scale={x} box={box} name={unit} ticks={x.ticks(5)} />
      {levels.map(({ value, name, kind }, index) => {
        const place = x(value);
        const row = rows[index] ?? 0;
        const isRight = place + 3 + widthOf(name) > width;
        return (
          <g key={`${kind} ${name}`}>
            <path
              d={`M${at(place)},${at(row - TEXT * 0.8)}V${box.bottom}`}
              stroke={INK.line}
              strokeWidth={kind === 'centre' ? 0.9 : 0.7}
              strokeDasharray={DASHES[kind]}
              fill="none"
            />
            <text x={at(place + (isRight ? -3 : 3))} y={at(row)} textAnchor={isRight ? 'end' : 'start'}>
              {cut(name, isRight ? place - 3 : width - place - 3)}
            </text>
          </g>
        );
      })}
    </Chart>
  );
}
