/**
 * The batch record: what was really weighed, from which lot, on which scale, by whom. Pure: the facts of one batch in,
 * plain data out. `recordJson.ts`, `recordCsv.ts` and `recordHtml.tsx` print it.
 */

import { stateOf } from '../../facts/apply.ts';
import { barsOf } from '../../facts/bars.ts';
import { withBroughtIn } from '../../facts/broughtIn.ts';
import { stuckOf } from '../../facts/combine.ts';
import type { Fact } from '../../facts/fact.ts';
import { standingFacts } from '../../facts/undo.ts';
import { type Mass, minus, plus, sumOf, ZERO } from '../../mass/mass.ts';
import type { Plan } from '../../plan/model.ts';
import type { Seal } from '../batchLog.ts';
import type { BarsRecord } from './recordBars.ts';
import { benchesOf, type OtherBench, type WholeOf } from './recordBenches.ts';
import { type Discard, type LotUse, plannedDraw, type RecordDraw, walkDraws } from './recordDraws.ts';
import {
  type Correction,
  type Measurement,
  type RecordStep,
  type RecordSum,
  type ScaleLoss,
  walkEvents,
  type ZeroShiftEvent,
} from './recordEvents.ts';
import { type OverPour, overPoursOf } from './recordOverPours.ts';
import { type RecordScale, scalesOf } from './recordScales.ts';
import { deviationsOf } from './recordSentences.ts';

export interface Totals {
  /** Planned weight of the draws that have reached their vessel. */
  readonly target: Mass;
  /** What was weighed for the batch, all accepted draws. */
  readonly net: Mass;
  /** What reached the vessels. */
  readonly bowl: Mass;
  /** What of that stuck to vessels that were emptied into others, where these were weighed back. */
  readonly stuck: Mass;
  /** `bowl - target`. */
  readonly difference: Mass;
  /** What left the lots, waste included. */
  readonly taken: Mass;
  /** What left the lots for nothing: taken back out, thrown away, given up, left in cups. */
  readonly waste: Mass;
}

export interface BatchRecord {
  readonly batch: string;
  readonly plan: Plan;
  readonly status: 'open' | 'finished' | 'abandoned';
  readonly started: string;
  /** When it was finished or abandoned; null while it is open. */
  readonly ended: string | null;
  /** Why it was abandoned. */
  readonly abandonedFor: string | null;
  /** Everybody who did something, in the order of their first fact. */
  readonly operators: readonly string[];
  /** Accepted draws whose content is in the batch, in the order of weighing. */
  readonly draws: readonly RecordDraw[];
  /** Accepted draws that are not in the batch, because their vessel or cup was given up. */
  readonly givenUp: readonly RecordDraw[];
  readonly discarded: readonly Discard[];
  readonly steps: readonly RecordStep[];
  /** Vessels weighed as a whole against the sum of their draws. */
  readonly sums: readonly RecordSum[];
  /** The scales of the plan, and what their checks said. */
  readonly scales: readonly RecordScale[];
  readonly scaleLosses: readonly ScaleLoss[];
  readonly zeroShifts: readonly ZeroShiftEvent[];
  /** When the program took up the batch again after a stop. */
  readonly resumed: readonly { readonly at: string; readonly by: string }[];
  readonly overPours: readonly OverPour[];
  /** pH and the like. */
  readonly measured: readonly Measurement[];
  readonly corrections: readonly Correction[];
  /** Everything that went otherwise than planned, in sentences. */
  readonly deviations: readonly string[];
  /** What left each lot, in the order of the draws. */
  readonly lots: readonly LotUse[];
  readonly totals: Totals;
  /** Phases that were handed to other benches, in order. */
  readonly otherBenches: readonly OtherBench[];
  /** The batch that this one is a part of; null for a batch of its own. */
  readonly partOf: WholeOf | null;
  /** What was pressed of it; null when no bars were weighed off. */
  readonly bars: BarsRecord | null;
  /** The last fact of the batch and its hash, and when it was: the record tells all that was known then. */
  readonly seal: Seal;
  readonly lastAt: string;
}

/**
 * The record of one batch.
 * @param facts all facts of the batch, in order
 * @param seal the place and hash of the last of them: `log.seal(batch)`
 * @throws RangeError when the facts do not begin with the start of a batch, or there is no seal
 */
export function batchRecord(facts: readonly Fact[], seal: Seal | null): BatchRecord {
  const first = facts[0];
  if (first?.kind !== 'batch-started') throw new RangeError('a batch record needs facts that begin with its start');
  if (seal === null) throw new RangeError('a batch record needs the hash of its last fact');
  // A rescue or a split changes the plan on the way: the record is of what was to be done in the end.
  const state = stateOf(facts);
  const { plan } = state;
  const standing = withBroughtIn(standingFacts(facts));
  const all = withBroughtIn(facts);
  const { givenUp, discarded, lots, ...walked } = walkDraws(plan, standing);
  const draws = walked.draws.map((draw) => ({ ...draw, stuck: stuckOf(state, draw.draw) }));
  const end = facts.find((fact) => fact.kind === 'finished' || fact.kind === 'abandoned');
  const record = {
    batch: first.batch,
    plan,
    status: end?.kind === 'finished' || end?.kind === 'abandoned' ? end.kind : ('open' as const),
    started: first.at,
    ended: end?.at ?? null,
    abandonedFor: end?.kind === 'abandoned' ? end.reason : null,
    operators: [...new Set(all.map((fact) => fact.by))],
    draws,
    givenUp,
    discarded,
    scales: scalesOf(plan, all),
    ...walkEvents(plan, all),
    ...benchesOf(state, facts),
    overPours: overPoursOf(plan, standing),
    lots,
    totals: totalsOf(plan, draws, lots),
    bars: barsOf(facts),
    seal,
    lastAt: facts.at(-1)?.at ?? first.at,
  };
  return { ...record, deviations: deviationsOf(record, all) };
}

function totalsOf(plan: Plan, draws: readonly RecordDraw[], lots: readonly LotUse[]): Totals {
  let target = ZERO;
  let bowl = ZERO;
  for (const draw of draws) {
    if (draw.bowl === null) continue;
    target = plus(target, plannedDraw(plan, draw.draw)?.target ?? ZERO);
    bowl = plus(bowl, draw.bowl);
  }
  return {
    target,
    net: sumOf(draws.map((draw) => draw.net)),
    bowl,
    stuck: sumOf(draws.map((draw) => draw.stuck)),
    difference: minus(bowl, target),
    taken: sumOf(lots.map((lot) => lot.taken)),
    waste: sumOf(lots.map((lot) => lot.waste)),
  };
}
