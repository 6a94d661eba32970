/** What the charts of a record show, as the charts take it. Pure. */
import type { ControlPoint } from '../../charts/ControlChart.tsx';
import type { FlowGiven, FlowPart } from '../../charts/flow.ts';
import type { HistogramBin } from '../../charts/Histogram.tsx';
import type { Level } from '../../charts/rules.tsx';
import { lotOf, mixLeft } from '../../facts/bars.ts';
import { type Mass, mass, minus, sumOf, ZERO } from '../../mass/mass.ts';
import { printMass } from '../../mass/text.ts';
import { histogram } from '../../stats/histogram.ts';
import { individualsChart } from '../../stats/individualsChart.ts';
import type { BatchRecord } from './batchRecord.ts';
import type { BarsRecord } from './recordBars.ts';
import { decimalsOfScale } from './recordDraws.ts';

/** Micrograms as grams, for drawing only. */
export function inGrams(of: number): number {
  return of / 1_000_000;
}

/** From the lots to the bars, in micrograms. */
export function flowOfRecord({ plan, draws, givenUp, discarded, lots, totals, bars }: BatchRecord): FlowGiven {
  const names = new Map(plan.tasks.flatMap((task) => (task.kind === 'draw' ? [[task.ingredient, task.name]] : [])));
  const part = (name: string, parts: readonly Mass[]): FlowPart => ({ name, value: sumOf(parts) });
  const off = [
    part(
      'taken back out',
      draws.map(({ taken, net }) => minus(taken, net)),
    ),
    part(
      'left in cups',
      draws.map(({ residue }) => residue ?? ZERO),
    ),
    part(
      'in cups not tipped',
      draws.map(({ net, bowl }) => (bowl === null ? net : ZERO)),
    ),
    part(
      'given up',
      givenUp.map(({ taken }) => taken),
    ),
    part(
      'thrown away',
      discarded.map(({ amount }) => amount),
    ),
  ];
  const stuck = part('stuck to vessels', [totals.stuck]);
  return {
    name: 'Left the lots',
    sources: lots.map(({ ingredient, lot, taken }) => ({
      name: `${lot} ${names.get(ingredient) ?? ingredient}`,
      value: taken,
    })),
    off,
    stages: [{ name: 'In the vessels', total: totals.bowl, off: [stuck] }],
    ends: bars === null ? null : { name: 'Weighed off', parts: barParts(bars) },
  };
}

function barParts(bars: BarsRecord): FlowPart[] {
  const lot = lotOf(bars);
  const sum = (of: readonly { readonly net: Mass }[]) => sumOf(of.map(({ net }) => net));
  const pulled = bars.bars.filter((bar) => bar.pulled !== null && !bar.back);
  const short = bars.bars.filter((bar) => bar.pulled === null && bar.verdict === 'short');
  return [
    { name: `${lot.length} bars`, value: sum(lot) },
    { name: `${short.length} short`, value: sum(short) },
    { name: `${pulled.length} pulled`, value: sum(pulled) },
    { name: 'offcut', value: sum(bars.leftOver.filter(({ what }) => what === 'offcut')) },
    { name: 'crumbs', value: sum(bars.leftOver.filter(({ what }) => what === 'crumbs')) },
    // What is still in the bowl is not lost.
    { name: 'not weighed off yet', value: bars.ended === null ? (mixLeft(bars) ?? ZERO) : ZERO },
  ];
}

export interface BarFigures {
  readonly points: readonly ControlPoint[];
  readonly levels: readonly Level[];
  readonly bins: readonly HistogramBin[];
  readonly binLevels: readonly Level[];
  /** What the limits say, a sentence. */
  readonly says: string;
}

/** undefined where there are no bars to draw. */
export function barFigures({ bars, plan }: Pick<BatchRecord, 'bars' | 'plan'>): BarFigures | undefined {
  if (bars === null || bars.bars.length === 0) return undefined;
  const lot = lotOf(bars);
  const nets = lot.map(({ net }) => net);
  const chart = individualsChart(nets);
  const outside = new Set(chart?.outside.map((index) => lot[index]?.bar));
  const decimals = decimalsOfScale(plan, bars.scale);
  const fine = (of: number) => printMass(mass(Math.round(of)), { decimals: decimals + 1 });
  const plain = (of: Mass) => printMass(of, { decimals });
  const level = (kind: Level['kind'], name: string, of: number): Level => ({ kind, name, value: inGrams(of) });
  const aim = level('aim', `set-point ${plain(bars.setPoint)}`, bars.setPoint);
  const label = bars.label === null ? [] : [level('bound', `label ${plain(bars.label)}`, bars.label)];
  const limits =
    chart === undefined
      ? []
      : [
          level('limit', `upper limit ${fine(chart.upper)}`, chart.upper),
          level('centre', `mean ${fine(chart.centre)}`, chart.centre),
          level('limit', `lower limit ${fine(chart.lower)}`, chart.lower),
        ];
  const inLot = new Set(lot.map(({ bar }) => bar));
  const points = bars.bars.map(({ bar, net, verdict }, index): ControlPoint => {
    const mark = !inLot.has(bar) ? 'void' : outside.has(bar) || verdict !== 'in' ? 'out' : 'in';
    return { place: index + 1, value: inGrams(net), mark };
  });
  const d = plan.scales[bars.scale]?.d ?? mass(100_000);
  const bins = histogram(nets, d).map(({ from, to, count }) => ({ from: inGrams(from), to: inGrams(to), count }));
  return {
    points,
    levels: [...limits, aim, ...label],
    bins,
    binLevels: [aim, ...label],
    says: limitsSay(chart, [...outside], fine),
  };
}

function limitsSay(
  chart: ReturnType<typeof individualsChart>,
  outside: readonly (number | undefined)[],
  fine: (of: number) => string,
): string {
  if (chart === undefined) return 'Too few bars in the lot for limits.';
  const within = `The limits of natural spread (mean and three standard deviations, from how much each bar differs from the one before) are ${fine(chart.lower)} and ${fine(chart.upper)} g`;
  return outside.length === 0
    ? `${within}; no bar of the lot lies outside.`
    : `${within}; outside ${outside.length === 1 ? 'lies bar' : 'lie bars'} ${outside.join(', ')}.`;
}
