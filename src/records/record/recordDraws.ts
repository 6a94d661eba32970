/** The draws of a batch record: which count, which were given up, and what each lot paid for. */
import type { Budget } from '../../accept/budget.ts';
import { USUAL_FACTOR } from '../../accept/coverage.ts';
import { doubtFrom, withDoubt } from '../../accept/zeroShift.ts';
import type { Deviation, Fact, PourTrace } from '../../facts/fact.ts';
import { zeroUnseenIn } from '../../facts/unseenZero.ts';
import type { Way } from '../../formula/model.ts';
import { type Mass, minus, plus, size, ZERO } from '../../mass/mass.ts';
import { decimalsOf } from '../../mass/text.ts';
import type { Plan, PlannedDraw } from '../../plan/model.ts';

export interface RecordDraw {
  readonly draw: string;
  readonly phase: string;
  readonly ingredient: string;
  readonly name: string;
  readonly inci: string;
  readonly vessel: string;
  readonly scale: string;
  readonly way: Way;
  readonly lot: string;
  readonly lotEnded: boolean;
  readonly target: Mass;
  readonly low: Mass;
  readonly high: Mass;
  /** What stood on the pan before and after. */
  readonly before: Mass;
  readonly after: Mass;
  /** What left the lot. */
  readonly taken: Mass;
  /** What was weighed. */
  readonly net: Mass;
  /** What reached the vessel; null while a cup is not tipped, or was never. */
  readonly bowl: Mass | null;
  /** What stayed in the cup; null for other ways and before it was tipped. */
  readonly residue: Mass | null;
  /** What of it stuck to vessels that were emptied into others later, where these were weighed back; else 0. */
  readonly stuck: Mass;
  readonly takenBack: Mass;
  /** Where that went, where it was not thrown away; null: it is waste (or nothing was). */
  readonly returned: 'jar' | 'aside' | null;
  /** Expanded, about 95 %. */
  readonly uncertainty: Mass;
  /** By which factor k it was when it was recorded. */
  readonly coverage: number;
  /** What it is made of: standard uncertainties. Both hold a shift of the zero that was found afterwards. */
  readonly budget: Budget;
  /** By how much, at most, `net` may be off as the zero moved: above zero where it may be more. null: no such doubt. */
  readonly doubt: Mass | null;
  /**
   * Its scale's empty pan was not read after it, so nothing tells whether the zero moved: the batch was left, and taken up
   * again (`restart`), or it ended. null: it was read, or an older log does not say.
   */
  readonly zeroUnseen: 'restart' | 'end' | null;
  readonly how: 'dwell' | 'key' | 'keyed';
  /** What the scale showed while it was poured; null where that was not kept. */
  readonly trace: PourTrace | null;
  /** The second person who looked at it; null when none had to. */
  readonly witness: string | null;
  /** The label of its jar was read before, and was the right one. */
  readonly labelRead: boolean;
  readonly part: PlannedDraw['part'];
  /** Decisions to keep a weight or a residue outside its limit. */
  readonly decisions: readonly Deviation[];
  /** Why it is not in the batch; null when it is. */
  readonly givenUpFor: string | null;
  readonly at: string;
  readonly by: string;
  /** Places in the log of the facts it is made of. */
  readonly seqs: readonly number[];
  /** Decimals that its scale shows. */
  readonly decimals: number;
}

/** Something of a lot that was thrown away. */
export interface Discard {
  readonly draw: string;
  readonly lot: string;
  readonly amount: Mass;
  readonly reason: string;
  readonly at: string;
  readonly by: string;
}

export interface LotUse {
  readonly lot: string;
  readonly ingredient: string;
  /** Everything that left it. */
  readonly taken: Mass;
  /** What of it is in the batch. */
  readonly bowl: Mass;
  /** What left it for nothing. */
  readonly waste: Mass;
  readonly ended: boolean;
}

export interface DrawsOfRecord {
  readonly draws: readonly RecordDraw[];
  readonly givenUp: readonly RecordDraw[];
  readonly discarded: readonly Discard[];
  readonly lots: readonly LotUse[];
}

/** A planned draw by its id. */
export function plannedDraw(plan: Plan, id: string): PlannedDraw | undefined {
  return plan.tasks.find((task): task is PlannedDraw => task.kind === 'draw' && task.id === id);
}

/** Decimals that a scale shows; three for a scale that the plan does not know. */
export function decimalsOfScale(plan: Plan, scale: string): number {
  const known = Object.hasOwn(plan.scales, scale) ? plan.scales[scale] : undefined;
  return known ? decimalsOf(known.d) : 3;
}

/** Sorts the weighings of a batch by what became of them. */
export function walkDraws(plan: Plan, facts: readonly Fact[]): DrawsOfRecord {
  const kept = new Map<string, RecordDraw>();
  const givenUp: RecordDraw[] = [];
  const discarded: Discard[] = [];
  const labels = new Set<string>();
  const giveUp = (id: string, change: Partial<RecordDraw>) => {
    const draw = kept.get(id);
    if (!draw) return;
    kept.delete(id);
    givenUp.push({ ...draw, ...change });
  };
  const unseen = (ids: readonly string[], zeroUnseen: 'restart' | 'end') => {
    for (const id of ids) {
      const draw = kept.get(id);
      if (draw) kept.set(id, { ...draw, zeroUnseen });
    }
  };
  for (const fact of facts) {
    if (fact.kind === 'lot-confirmed') for (const draw of fact.draws) labels.add(`${draw} ${fact.lot}`);
    if (fact.kind === 'weighed') {
      giveUp(fact.draw, { givenUpFor: 'weighed again' });
      kept.set(fact.draw, drawOf(plan, fact, labels.has(`${fact.draw} ${fact.lot}`)));
    } else if (fact.kind === 'returned') {
      const draw = kept.get(fact.draw);
      if (draw) kept.set(fact.draw, { ...draw, returned: fact.to, taken: minus(draw.taken, fact.amount) });
    } else if (fact.kind === 'tipped') {
      const draw = kept.get(fact.draw);
      if (draw) kept.set(fact.draw, tipped(draw, fact));
    } else if (fact.kind === 'resumed' || fact.kind === 'finished' || fact.kind === 'abandoned') {
      unseen(zeroUnseenIn(fact), fact.kind === 'resumed' ? 'restart' : 'end');
    } else if (fact.kind === 'zero-shifted') {
      for (const id of fact.draws) {
        const draw = kept.get(id);
        if (draw) kept.set(id, doubted(draw, doubtFrom(draw.way, fact.shift)));
      }
    } else if (fact.kind === 'discarded') {
      const { draw, lot, amount, reason, at, by } = fact;
      discarded.push({ draw, lot, amount, reason, at, by });
      // What was accepted is now in the bin, and counted there: only what was taken back before is left to count here.
      const thrown = kept.get(draw);
      if (thrown) giveUp(draw, { givenUpFor: reason, bowl: null, taken: minus(thrown.taken, thrown.net) });
    } else if (fact.kind === 'given-up') {
      for (const id of fact.draws) giveUp(id, { givenUpFor: fact.reason });
    }
  }
  const draws = [...kept.values()];
  return { draws, givenUp, discarded, lots: lotsOf(plan, draws, givenUp, discarded) };
}

function drawOf(plan: Plan, fact: Fact & { kind: 'weighed' }, labelRead: boolean): RecordDraw {
  const { draw, ingredient, lot, vessel, scale, way, target, low, high, before, after, net, takenBack } = fact;
  const planned = plannedDraw(plan, draw);
  return {
    draw,
    phase: planned?.phase ?? '',
    ingredient,
    name: planned?.name ?? ingredient,
    inci: planned?.inci ?? '',
    vessel,
    scale,
    way,
    lot,
    lotEnded: fact.lotEnded,
    target,
    low,
    high,
    before,
    after,
    // What was too much in a vessel or cup is waste; on the spoon it went back into the jar.
    taken: way === 'subtract' ? net : plus(net, takenBack),
    net,
    bowl: way === 'cup' ? null : net,
    residue: null,
    stuck: ZERO,
    takenBack,
    returned: null,
    uncertainty: fact.uncertainty,
    coverage: fact.coverage ?? USUAL_FACTOR,
    budget: fact.budget,
    doubt: null,
    zeroUnseen: null,
    how: fact.how,
    trace: fact.trace ?? null,
    witness: fact.witness ?? null,
    labelRead,
    part: planned?.part ?? null,
    decisions: fact.deviation ? [fact.deviation] : [],
    givenUpFor: null,
    at: fact.at,
    by: fact.by,
    seqs: [fact.seq],
    decimals: decimalsOfScale(plan, scale),
  };
}

function doubted(draw: RecordDraw, doubt: Mass): RecordDraw {
  if (draw.doubt !== null && size(draw.doubt) >= size(doubt)) return draw;
  return { ...draw, doubt, ...withDoubt(draw, doubt) };
}

function tipped(draw: RecordDraw, fact: Fact & { kind: 'tipped' }): RecordDraw {
  return {
    ...draw,
    bowl: minus(draw.net, fact.residue),
    residue: fact.residue,
    decisions: fact.deviation ? [...draw.decisions, fact.deviation] : draw.decisions,
    seqs: [...draw.seqs, fact.seq],
  };
}

function lotsOf(
  plan: Plan,
  draws: readonly RecordDraw[],
  givenUp: readonly RecordDraw[],
  discarded: readonly Discard[],
): readonly LotUse[] {
  const lots = new Map<string, LotUse>();
  const use = (lot: string, ingredient: string, taken: Mass, bowl: Mass, waste: Mass, ended: boolean) => {
    const key = JSON.stringify([ingredient, lot]); // two suppliers may number their lots alike
    const known = lots.get(key) ?? { lot, ingredient, taken: ZERO, bowl: ZERO, waste: ZERO, ended: false };
    lots.set(key, {
      ...known,
      taken: plus(known.taken, taken),
      bowl: plus(known.bowl, bowl),
      waste: plus(known.waste, waste),
      ended: known.ended || ended,
    });
  };
  for (const { lot, ingredient, taken, net, bowl, residue, lotEnded } of draws) {
    use(lot, ingredient, taken, bowl ?? ZERO, plus(minus(taken, net), residue ?? ZERO), lotEnded);
  }
  for (const { lot, ingredient, taken, lotEnded } of givenUp) use(lot, ingredient, taken, ZERO, taken, lotEnded);
  for (const { lot, draw, amount } of discarded)
    use(lot, plannedDraw(plan, draw)?.ingredient ?? '', amount, ZERO, amount, false);
  return [...lots.values()];
}
