/** The bars of a batch as rows of its CSV. */
import type { Mass } from '../../mass/mass.ts';
import type { BatchRecord } from './batchRecord.ts';
import { barNotes } from './recordBars.ts';

/** What a row of a bar has; all other columns stay empty. */
export interface BarRow {
  readonly status: string;
  readonly bar: string;
  readonly scale: string;
  readonly target_g: Mass | null;
  readonly low_g: Mass | null;
  readonly high_g: Mass | null;
  readonly net_g: Mass;
  readonly uncertainty_g: Mass;
  readonly at: string;
  readonly by: string;
  readonly notes: string;
}

/** One row for each bar, each bar weighed again, and what was left over. None of them took anything from a lot. */
export function barRows({ bars }: BatchRecord): BarRow[] {
  if (bars === null) return [];
  const none = { target_g: null, low_g: null, high_g: null };
  return [
    ...bars.bars.flatMap((bar): BarRow[] => [
      {
        status: bar.pulled !== null ? 'bar pulled' : bar.verdict === 'short' ? 'bar short' : 'bar',
        bar: String(bar.bar),
        scale: bar.scale,
        target_g: bar.aim.setPoint,
        low_g: bar.aim.low,
        high_g: bar.aim.high,
        net_g: bar.net,
        uncertainty_g: bar.uncertainty,
        at: bar.at,
        by: bar.by,
        notes: barNotes(bar).join(' | '),
      },
      ...bar.again.map(({ net, uncertainty, scale, at, by }) => ({
        ...none,
        status: 'bar weighed again',
        bar: String(bar.bar),
        scale,
        net_g: net,
        uncertainty_g: uncertainty,
        at,
        by,
        notes: '',
      })),
    ]),
    ...bars.leftOver.map(({ what, net, uncertainty, scale, at, by }) => ({
      ...none,
      status: what,
      bar: '',
      scale,
      net_g: net,
      uncertainty_g: uncertainty,
      at,
      by,
      notes: 'left over',
    })),
  ];
}
