/**
 * What became of everything that a batch drew, row by row: the stuff that a trace is made of. Whether a weight counts is
 * decided by the batch record's own walk, so that a record and a trace can't disagree; here is added what a record
 * leaves out, as nothing was accepted: what was begun, held or taken back, and may be in the batch all the same.
 */
import { stateOf } from '../../facts/apply.ts';
import type { LeftOver } from '../../facts/barFacts.ts';
import { barsOf, lotOf } from '../../facts/bars.ts';
import type { BatchState } from '../../facts/batchState.ts';
import { withBroughtIn } from '../../facts/broughtIn.ts';
import { stuckOf } from '../../facts/combine.ts';
import type { Fact } from '../../facts/fact.ts';
import { isElsewhere, isOut } from '../../facts/handOver.ts';
import { standingFacts } from '../../facts/undo.ts';
import { greater, type Mass, minus, ZERO } from '../../mass/mass.ts';
import type { Plan, PlannedDraw } from '../../plan/model.ts';
import { plannedDraw, type RecordDraw, walkDraws } from '../record/recordDraws.ts';

/**
 * What became of it. `in`: it is in the batch. `may`: it may be, nothing proves that it is not. `to-come`: the batch is
 * open and its plan still takes it. `given-up`, `thrown-away`: it was drawn and went into the bin.
 */
export type Fate = 'in' | 'may' | 'to-come' | 'given-up' | 'thrown-away';

/** From what counts most for a recall to what counts least. */
export const FATES: readonly Fate[] = ['in', 'may', 'to-come', 'given-up', 'thrown-away'];

/** Why something may be in a batch although no weight says so. */
export type Doubtful = 'not tipped' | 'taken back' | 'too much' | 'begun' | 'weighed again';

/** Something of one lot, as one draw of a batch. */
export interface Use {
  readonly batch: string;
  readonly ingredient: string;
  readonly lot: string;
  /** The ingredient's name when the batch was planned. */
  readonly name: string;
  readonly draw: string;
  readonly fate: Fate;
  /** Set for `may` alone. */
  readonly doubtful: Doubtful | null;
  /** What left the lot; 0 where nothing was weighed. */
  readonly taken: Mass;
  /** What of it is in the batch: less what stuck to cups and vessels. For `may` the most that can be; null: not known. */
  readonly inside: Mass | null;
  /** By how much, at most, the weight may be off as a zero moved; null: by no more than its uncertainty. */
  readonly doubt: Mass | null;
  /** The label of its jar was read before it was weighed, and was the right one. */
  readonly labelRead: boolean;
}

/** What is known of a batch as a whole. */
export interface TracedBatch {
  readonly batch: string;
  readonly formula: string;
  readonly name: string;
  readonly version: string;
  readonly mass: Mass;
  /** Bars that were planned; null for a batch that makes none. */
  readonly bars: number | null;
  /** Bars in its lot; null while none were weighed off. */
  readonly barsMade: number | null;
  /** Bars that there are beside these: short ones, and those taken out and not put back into the mix. */
  readonly barsBeside: number;
  /** What of its mix was weighed as left over, in no bar. */
  readonly leftOver: readonly { readonly what: LeftOver; readonly net: Mass }[];
  readonly status: 'open' | 'finished' | 'abandoned';
  readonly started: string;
  readonly ended: string | null;
  /** What was noted of it afterwards: a trace can't read them, but a person has to. */
  readonly corrections: readonly string[];
}

export interface BatchTrace {
  readonly batch: TracedBatch;
  readonly uses: readonly Use[];
}

/** Facts that change nothing in a trace. */
const NO_MATTER: ReadonlySet<Fact['kind']> = new Set<Fact['kind']>([
  'scales-stand',
  'scale-checked',
  'gathered',
  'resumed',
  'step-begun',
  'scale-lost',
  'scale-back',
  'lot-blocked',
  'lot-released',
  'stock-taken',
  'lot-short',
  'measured',
]);

/** Whether a fact can change what is traced of its batch. */
export function matters({ kind }: Pick<Fact, 'kind'>): boolean {
  return !NO_MATTER.has(kind);
}

/**
 * The trace of one batch, from its facts so far.
 * @param state what they come to, where that is known already
 * @returns undefined where they do not begin with the start of a batch (checks of scales, deliveries)
 */
export function traceOfBatch(facts: readonly Fact[], state?: BatchState): BatchTrace | undefined {
  return facts[0]?.kind === 'batch-started' ? traced(facts, state ?? stateOf(facts)) : undefined;
}

function traced(facts: readonly Fact[], state: BatchState): BatchTrace {
  const { plan } = state;
  const end = facts.find(({ kind }) => kind === 'finished' || kind === 'abandoned');
  const status = end?.kind === 'finished' || end?.kind === 'abandoned' ? end.kind : 'open';
  const { formula, mass, bars } = plan;
  const made = barsOf(facts);
  const barsMade = made === null ? null : lotOf(made).length;
  const corrections = withBroughtIn(facts).flatMap((fact) =>
    fact.kind === 'corrected' ? [`${fact.note} (${fact.reason})`] : [],
  );
  const batch: TracedBatch = {
    batch: state.batch,
    formula: formula.id,
    name: formula.name,
    version: formula.version,
    mass,
    bars,
    barsMade,
    barsBeside: made === null ? 0 : made.bars.filter(({ back }) => !back).length - (barsMade ?? 0),
    leftOver: made?.leftOver.map(({ what, net }) => ({ what, net })) ?? [],
    status,
    started: facts[0]?.at ?? '',
    ended: end?.at ?? null,
    corrections: [...benchNotes(state, facts), ...corrections],
  };
  // In a log of all benches the whole batch tells what is in it, so that each draw is told once.
  const isTold = facts.some((fact) => fact.kind === 'joined' && fact.broughtInto !== undefined);
  return { batch, uses: isTold ? [] : usesOf(state.batch, state, facts) };
}

/** Where else something of it was weighed, or goes: a person has to read it. */
function benchNotes(state: BatchState, facts: readonly Fact[]): string[] {
  const { partOf } = state;
  const into = facts.flatMap((fact) => (fact.kind === 'joined' ? (fact.broughtInto ?? []) : []))[0];
  const goes =
    state.ended === 'abandoned'
      ? 'given up, so nothing of it is to be in there'
      : 'what is in it goes in there, once that bench brings it in';
  const part = partOf ? [`part of batch ${into ?? `${partOf.role}/${partOf.of}`}: ${goes}`] : [];
  const out = state.handOvers.filter(isOut).map(({ phases, to }) => {
    return `phase ${phases.join(' and ')} is weighed at ${to}, and not told here yet`;
  });
  // It left the lots in that bench's book: drawn and left do not add up in this bench's own.
  const brought = state.handOvers
    .filter(({ stands }) => stands === 'in')
    .map(({ phases, to }) => `phase ${phases.join(' and ')} was weighed at ${to}, out of the lots there`);
  return [...part, ...out, ...brought];
}

function usesOf(batch: string, state: BatchState, facts: readonly Fact[]): Use[] {
  const { plan } = state;
  const { draws, givenUp, discarded } = walkDraws(plan, withBroughtIn(standingFacts(facts)));
  const isDiscard = ({ draw, lot, givenUpFor, bowl }: RecordDraw) =>
    bowl === null && discarded.some((each) => each.draw === draw && each.lot === lot && each.reason === givenUpFor);
  const uses: Use[] = [
    ...draws.map((draw) => inBatch(batch, draw, stuckOf(state, draw.draw))),
    ...givenUp.map((draw): Use => {
      const bare = { ...ofDraw(batch, draw), taken: draw.taken };
      // Nothing says that it was taken out before the same draw was weighed once more.
      if (draw.givenUpFor === 'weighed again') {
        return { ...bare, fate: 'may', doubtful: 'weighed again', inside: draw.net };
      }
      return { ...bare, fate: isDiscard(draw) ? 'thrown-away' : 'given-up', inside: ZERO };
    }),
    ...discarded.map(({ draw, lot, amount }): Use => {
      return { ...ofPlanned(batch, plan, draw, lot), fate: 'thrown-away', taken: amount, inside: ZERO };
    }),
  ];
  return [...uses, ...unsettled(batch, state, facts, uses)];
}

function ofDraw(batch: string, { ingredient, lot, name, draw, doubt, labelRead }: RecordDraw) {
  return { batch, ingredient, lot, name, draw, doubtful: null, doubt, labelRead };
}

function ofPlanned(batch: string, plan: Plan, draw: string, lot: string) {
  const planned = plannedDraw(plan, draw);
  const { ingredient = '', name = '' } = planned ?? {};
  return { batch, ingredient, lot, name, draw, doubtful: null, doubt: null, labelRead: false };
}

function inBatch(batch: string, draw: RecordDraw, stuck: Mass): Use {
  const { taken, net, bowl } = draw;
  const bare = { ...ofDraw(batch, draw), taken };
  if (bowl === null) return { ...bare, fate: 'may', doubtful: 'not tipped', inside: net };
  return { ...bare, fate: 'in', inside: greater(ZERO, minus(bowl, stuck)) };
}

/** Something in a vessel, a cup or on a spoon that no standing weight tells of. */
interface Loose {
  readonly draw: PlannedDraw;
  readonly doubtful: Doubtful;
  /** null: never weighed. */
  readonly net: Mass | null;
}

const looseKey = (draw: string, lot: string) => JSON.stringify([draw, lot]);

/** What was begun and never settled: a weight that was taken back, too much that nobody decided on, a vessel put on. */
function unsettled(batch: string, state: BatchState, facts: readonly Fact[], settled: readonly Use[]): Use[] {
  const { plan } = state;
  const parts = facts.flatMap((fact) => (fact.kind === 'brought-in' ? [looseIn(fact.facts)] : []));
  const all = [looseIn(facts), ...parts];
  const loose = all.flatMap((each) => each.loose);
  const binned = all.flatMap((each) => each.binned);
  const rowOf = ({ draw }: Loose) => ({ ...ofPlanned(batch, plan, draw.id, draw.lot), ...nameOf(draw) });
  const uses = [
    ...binned.map((each): Use => ({ ...rowOf(each), fate: 'given-up', taken: each.net ?? ZERO, inside: ZERO })),
    ...loose.map((each): Use => {
      const { doubtful, net } = each;
      return { ...rowOf(each), fate: 'may', doubtful, taken: ZERO, inside: net };
    }),
  ];
  if (state.ended !== 'open') return uses;
  const told = new Set([...settled, ...uses].map(({ draw, lot, fate }) => (isPast(fate) ? '' : looseKey(draw, lot))));
  const toCome = plan.tasks.flatMap((task): Use[] => {
    if (task.kind !== 'draw' || state.draws[task.id]?.status !== 'open' || isElsewhere(state, task)) return [];
    if (told.has(looseKey(task.id, task.lot))) return [];
    return [{ ...ofPlanned(batch, plan, task.id, task.lot), fate: 'to-come', taken: ZERO, inside: null }];
  });
  return [...uses, ...toCome];
}

const isPast = (fate: Fate) => fate === 'given-up' || fate === 'thrown-away';

const nameOf = ({ ingredient, name }: PlannedDraw) => ({ ingredient, name });

/** Goes through the facts as they came, and keeps what is loose; `binned` went with a vessel that was given up. */
function looseIn(facts: readonly Fact[]): { readonly loose: readonly Loose[]; readonly binned: readonly Loose[] } {
  const standing = new Set(standingFacts(facts));
  const draws = new Map<string, PlannedDraw>();
  const open = new Map<string, Loose>();
  const binned: Loose[] = [];
  const put = (id: string, doubtful: Doubtful, net: Mass | null, lot = draws.get(id)?.lot) => {
    const draw = draws.get(id);
    if (!draw || lot === undefined) return;
    const key = looseKey(id, lot);
    // That its vessel stands there again says nothing new of what is in it.
    if (net !== null || !open.has(key)) open.set(key, { draw: { ...draw, lot }, doubtful, net });
  };
  for (const fact of facts) {
    if (fact.kind === 'undone' && fact.of === 'weighed') {
      const back = facts.find((each) => each.seq === fact.corrects);
      if (back?.kind === 'weighed') put(back.draw, 'taken back', back.net, back.lot);
    }
    if (!standing.has(fact)) continue;
    if (fact.kind === 'batch-started' || fact.kind === 'rescued') {
      for (const task of fact.plan.tasks) if (task.kind === 'draw') draws.set(task.id, task);
    } else if (fact.kind === 'split') {
      draws.set(fact.rest.id, fact.rest);
      const key = looseKey(fact.draw, draws.get(fact.draw)?.lot ?? '');
      if (fact.nothingYet && open.get(key)?.net === null) open.delete(key);
    } else if (fact.kind === 'placed') put(fact.draw, 'begun', null);
    else if (fact.kind === 'held') put(fact.draw, 'too much', fact.net);
    // Poured on to: what was in is in the weight that was accepted. Out of another lot, it is still in beside it.
    else if (fact.kind === 'weighed' || fact.kind === 'discarded') open.delete(looseKey(fact.draw, fact.lot));
    else if (fact.kind === 'given-up') {
      for (const [key, loose] of open) {
        if (fact.vessel !== loose.draw.vessel && fact.vessel !== loose.draw.on) continue;
        if (loose.net !== null) binned.push(loose);
        open.delete(key);
      }
    }
  }
  return { loose: [...open.values()], binned };
}
