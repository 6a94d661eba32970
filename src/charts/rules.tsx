/** Axes and level lines. */
import type { ScaleLinear } from 'd3-scale';
import { apart, at, cut, INK, TEXT } from './Chart.tsx';

type Linear = ScaleLinear<number, number>;

/** The box that the data are drawn in, in points. */
export interface Box {
  readonly left: number;
  readonly right: number;
  readonly top: number;
  readonly bottom: number;
}

/** Ticks and their values at the left, in even steps. */
export function ValueAxis({ scale, box, name }: { readonly scale: Linear; readonly box: Box; readonly name: string }) {
  const ticks = scale.ticks(4);
  const show = scale.tickFormat(4);
  return (
    <g>
      <path d={`M${box.left},${box.top}V${box.bottom}`} stroke={INK.rule} fill="none" strokeWidth={0.6} />
      {ticks.map((tick) => (
        <g key={tick}>
          <path d={`M${box.left - 3},${at(scale(tick))}h3`} stroke={INK.rule} strokeWidth={0.6} />
          <text x={box.left - 5} y={at(scale(tick) + TEXT * 0.35)} textAnchor="end">
            {show(tick)}
          </text>
        </g>
      ))}
      <text x={0} y={TEXT} fill={INK.soft}>
        {name}
      </text>
    </g>
  );
}

/** Ticks and their values below. */
export function BaseAxis({
  scale,
  box,
  name,
  ticks,
}: {
  readonly scale: Linear;
  readonly box: Box;
  readonly name: string;
  /** Where to put them; else in even steps. */
  readonly ticks?: readonly number[];
}) {
  const show = scale.tickFormat(6);
  return (
    <g>
      <path d={`M${box.left},${box.bottom}H${box.right}`} stroke={INK.rule} fill="none" strokeWidth={0.6} />
      {(ticks ?? scale.ticks(6)).map((tick) => (
        <g key={tick}>
          <path d={`M${at(scale(tick))},${box.bottom}v3`} stroke={INK.rule} strokeWidth={0.6} />
          <text x={at(scale(tick))} y={box.bottom + 4 + TEXT} textAnchor="middle">
            {show(tick)}
          </text>
        </g>
      ))}
      <text x={box.right} y={box.bottom + 6 + 2 * TEXT} textAnchor="end" fill={INK.soft}>
        {name}
      </text>
    </g>
  );
}

/** How a level is drawn: the kinds differ by their dashes, and each is named beside its line. */
export type LevelKind = 'centre' | 'limit' | 'aim' | 'bound';

export const DASHES: Readonly<Record<LevelKind, string | undefined>> = {
  centre: undefined,
  limit: '6 2.5',
  aim: '1.5 2',
  bound: '8 2 1.5 2',
};

/** A value that data are compared with. */
export interface Level {
  readonly value: number;
  /** Stands at the end of the line, with the value in it where that matters. */
  readonly name: string;
  readonly kind: LevelKind;
}

/** Level lines across the box, their names at the right of it, moved apart where they would lie on each other. */
export function Levels({
  of,
  scale,
  box,
  right,
}: {
  readonly of: readonly Level[];
  readonly scale: Linear;
  readonly box: Box;
  /** Where the chart ends. */
  readonly right: number;
}) {
  const places = apart(
    of.map(({ value }) => scale(value)),
    TEXT + 1.5,
    box.top,
    box.bottom,
  );
  return (
    <g>
      {of.map(({ value, name, kind }, index) => {
        const [line, label] = [at(scale(value)), at(places[index] ?? 0)];
        return (
          <g key={`${kind} ${name}`}>
            <path
              d={`M${box.left},${line}H${box.right}`}
              stroke={INK.line}
              strokeWidth={kind === 'centre' ? 0.9 : 0.7}
              strokeDasharray={DASHES[kind]}
              fill="none"
            />
            <path
              d={`M${box.right},${line}L${box.right + 6},${label}`}
              stroke={INK.rule}
              strokeWidth={0.5}
              fill="none"
            />
            <text x={box.right + 8} y={at(label + TEXT * 0.35)}>
              {cut(name, right - box.right - 8)}
            </text>
          </g>
        );
      })}
    </g>
  );
}
