/** What bars are made for and judged by: the net weight on their label, and what they lose in drying. */
import { type Drying, dryingOf } from '../../contents/drying.ts';
import type { LabelUnit } from '../../contents/maximumVariation.ts';
import { type Bars, barsOf } from '../../facts/bars.ts';
import type { Formula, NetDeclared } from '../../formula/model.ts';
import { readNet } from '../../formula/readLabel.ts';
import { saidAsBegun } from '../../label/saidAsBegun.ts';
import type { Mass } from '../../mass/mass.ts';
import { readMassWithUnit } from '../../mass/text.ts';
import type { PlannedLabel } from '../../plan/model.ts';
import type { BatchLog } from '../../records/batchLog.ts';
import type { BatchRecord } from '../../records/record/batchRecord.ts';
import { Ending, EXIT } from '../exit.ts';

/** A label's weight, and in which system it is declared. */
export interface Declared {
  readonly label: Mass;
  readonly unit: LabelUnit;
}

export interface BarsSaid {
  readonly declared: Declared | undefined;
  readonly drying: Drying;
  /** Bars of other batches of the same formula, newest batches first. */
  readonly earlier: readonly Bars[];
  /** Where the formula's word is taken from, if that has to be known: sentences. */
  readonly notes: readonly string[];
}

/**
 * As asked for, as bars have taught, as the formula said when the batch was begun; where that was not kept, as it says today.
 * @param asked the net weight from the command line
 * @param formula as its file has it now, or why it can't be had
 * @throws Ending, LogTrouble
 */
export function barsSaid(
  log: BatchLog,
  { batch, plan, bars }: Pick<BatchRecord, 'batch' | 'plan' | 'bars'>,
  formula: Formula | string,
  asked: string | undefined,
): BarsSaid {
  const now = typeof formula === 'string' ? undefined : formula.label;
  const { said, isOfToday, otherwise } = saidAsBegun(plan, now);
  const declared = declaredOf(asked, said, bars);
  const earlier = earlierBars(log, batch, plan.formula.id);
  const drying = dryingOf([...(bars?.bars ?? []), ...earlier.flatMap((each) => each.bars)], said?.dryingPpm);
  const isNetSaid = asked === undefined && declared !== undefined && declared.label === massOf(said?.net);
  const isDryingSaid = drying.from === 'formula';
  const of = (net: string, dried: string) => [...(isNetSaid ? [net] : []), ...(isDryingSaid ? [dried] : [])];
  const notes = isOfToday
    ? ofToday(of('net weight', 'drying'))
    : ofThen(of(otherwise.net ?? '', otherwise.dryingPpm ?? '').filter((each) => each !== ''));
  return { declared, drying, earlier, notes };
}

function ofToday(what: readonly string[]): string[] {
  const [first = '', ...more] = what;
  if (first === '') return [];
  const are = more.length > 0 ? 'are' : 'is';
  return [`${first[0]?.toUpperCase()}${what.join(' and ').slice(1)} ${are} taken from the formula as it is today.`];
}

function ofThen(others: readonly string[]): string[] {
  if (others.length === 0) return [];
  return [
    `The formula says otherwise by now than when the batch was begun (${others.join(', ')}). What it said then counts.`,
  ];
}

/** What the label says: as asked; as it was when portioning began, as that is what the bars were made for; or as the formula has it. */
export function declaredOf(
  asked: string | undefined,
  said: PlannedLabel | undefined,
  earlier: Pick<Bars, 'label'> | null,
): Declared | undefined {
  const net = asked === undefined ? undefined : readNet(asked);
  if (asked !== undefined && !net) {
    throw new Ending(
      EXIT.wrongUse,
      '--label wants the net weight on the label, such as 70g or 2.5oz. Nothing was recorded.',
    );
  }
  if (net) return asDeclared(net);
  const stated = asDeclared(said?.net);
  if (earlier?.label == null) return stated;
  // The log keeps the weight, not its unit.
  return stated?.label === earlier.label ? stated : { label: earlier.label, unit: 'g' };
}

function massOf(net: NetDeclared | undefined): Mass | undefined {
  return net && readMassWithUnit(`${net.number} ${net.unit}`);
}

function asDeclared(net: NetDeclared | undefined): Declared | undefined {
  const label = massOf(net);
  if (label === undefined || label <= 0) return undefined;
  return { label, unit: net?.unit === 'oz' || net?.unit === 'lb' ? 'oz' : 'g' };
}

/** A damaged batch must not stop this one. */
function earlierBars(log: BatchLog, batch: string, formula: string): Bars[] {
  const MOST_BATCHES = 10;
  const others = log.list.withBars(formula, MOST_BATCHES + 1).filter((id) => id !== batch);
  return others.slice(0, MOST_BATCHES).flatMap((id) => {
    try {
      return barsOf(log.facts(id)) ?? [];
    } catch {
      return [];
    }
  });
}
