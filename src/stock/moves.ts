/**
 * What the facts do to stock. Each move is one fact's; what a lot holds is its moves added up. Nothing else decides
 * what is in stock: the summary that the log keeps beside its facts is made with the same two functions.
 */
import type { Fact } from '../facts/fact.ts';
import { standingFacts } from '../facts/undo.ts';
import { type Mass, mass, minus, plus, ZERO } from '../mass/mass.ts';
import type { PlannedDraw } from '../plan/model.ts';

/** By how much one fact changes what a lot holds. */
export interface Move {
  /** Place of its fact in the log. */
  readonly seq: number;
  readonly ingredient: string;
  readonly lot: string;
  /** Below zero when something left the lot. */
  readonly change: Mass;
  /** The lot was found to be empty with it: nothing is left, whatever the book had. */
  readonly ends: boolean;
  /** Left for a batch, waste included. */
  readonly used: Mass;
}

/** What a lot holds, as far as the facts tell. */
export interface Holding {
  /** Whether what the workshop file says that it held at first still counts: not once it was found empty. */
  readonly counted: boolean;
  /** What came and went since. */
  readonly balance: Mass;
  /** Left for batches, waste included. */
  readonly used: Mass;
}

export const UNTOUCHED: Holding = { counted: true, balance: ZERO, used: ZERO };

/** A holding after one more move. */
export function moved({ counted, balance, used }: Holding, move: Pick<Move, 'change' | 'ends' | 'used'>): Holding {
  const all = plus(used, move.used);
  if (move.ends) return { counted: false, balance: ZERO, used: all };
  return { counted, balance: plus(balance, move.change), used: all };
}

/** What is left. @param opening what the workshop file says; 0 for a lot that was received later */
export function leftOf({ counted, balance }: Holding, opening: Mass): Mass {
  return counted ? plus(opening, balance) : balance;
}

/** The move of a fact that tells it all by itself; undefined for all others. */
export function moveOf(fact: Fact): Move | undefined {
  switch (fact.kind) {
    case 'weighed': {
      const { seq, ingredient, lot, way, net, takenBack, lotEnded } = fact;
      // What was too much in a vessel or cup is waste; on the spoon it went back into the jar.
      const used = way === 'subtract' ? net : plus(net, takenBack);
      return { seq, ingredient, lot, change: minus(ZERO, used), ends: lotEnded, used };
    }
    case 'returned':
      return { ...placeOf(fact), change: fact.amount, ends: false, used: minus(ZERO, fact.amount) };
    case 'lot-received':
      return { ...placeOf(fact), change: fact.amount, ends: false, used: ZERO };
    case 'stock-taken':
      return { ...placeOf(fact), change: fact.difference, ends: false, used: ZERO };
    case 'lot-short':
      return { ...placeOf(fact), change: fact.short, ends: false, used: ZERO };
    default:
      return undefined;
  }
}

function placeOf({ seq, ingredient, lot }: { seq: number; ingredient: string; lot: string }) {
  return { seq, ingredient, lot };
}

/** Facts whose moves hang on the facts of the batch before them. */
export function needsItsBatch({ kind }: Pick<Fact, 'kind'>): boolean {
  return kind === 'discarded' || kind === 'undone' || kind === 'split';
}

/**
 * All moves of one batch (or of the facts that belong to no batch), in order. What was accepted and then taken back
 * moves nothing; what was thrown away counts once, whether it had been accepted before or not; what is given up with
 * its vessel stays gone.
 * @param facts all facts of the batch so far, in order
 */
export function movesOf(facts: readonly Fact[]): Move[] {
  const standing = new Set(standingFacts(facts));
  const moves: Move[] = [];
  const accepted = new Set<string>();
  facts.forEach((fact, index) => {
    const before = facts[index - 1];
    if (!standing.has(fact) || (fact.kind === 'lot-short' && before && !standing.has(before))) return;
    if (fact.kind === 'weighed') accepted.add(fact.draw);
    if (fact.kind === 'given-up') for (const draw of fact.draws) accepted.delete(draw);
    const move =
      fact.kind === 'discarded'
        ? thrownAway(fact, accepted, facts)
        : fact.kind === 'split'
          ? foundEmpty(fact, facts)
          : moveOf(fact);
    if (move) moves.push(move);
  });
  return moves;
}

function thrownAway(
  fact: Extract<Fact, { kind: 'discarded' }>,
  accepted: Set<string>,
  facts: readonly Fact[],
): Move | undefined {
  // What was accepted before it was thrown away has left the lot already.
  if (accepted.delete(fact.draw)) return undefined;
  const draw = drawOf(facts, fact.draw);
  if (!draw) return undefined;
  const { seq, lot, amount } = fact;
  return { seq, ingredient: draw.ingredient, lot, change: minus(ZERO, amount), ends: false, used: amount };
}

/** A jar that was opened and had nothing in it. Where something had come out of it, the weight itself says so. */
function foundEmpty(fact: Extract<Fact, { kind: 'split' }>, facts: readonly Fact[]): Move | undefined {
  if (fact.why !== 'lot-ended' || !fact.nothingYet) return undefined;
  const draw = drawOf(facts, fact.draw);
  if (!draw || draw.lot === fact.rest.lot) return undefined;
  return { seq: fact.seq, ingredient: draw.ingredient, lot: draw.lot, change: ZERO, ends: true, used: ZERO };
}

/** A draw as it was planned, or as a split made it. */
function drawOf(facts: readonly Fact[], draw: string): PlannedDraw | undefined {
  for (const fact of facts) {
    if (fact.kind === 'split' && fact.rest.id === draw) return fact.rest;
    if (fact.kind !== 'batch-started' && fact.kind !== 'rescued') continue;
    const task = fact.plan.tasks.find((each) => each.kind === 'draw' && each.id === draw);
    if (task?.kind === 'draw') return task;
  }
  return undefined;
}

/** Several moves of one lot, added up. */
export function holdingOf(moves: readonly Pick<Move, 'change' | 'ends' | 'used'>[]): Holding {
  return moves.reduce(moved, UNTOUCHED);
}

/** What a batch took out of a lot that no fact explains: how far it would go below zero. 0 when it would not. */
export function shortBy(left: Mass): Mass {
  return left < 0 ? mass(-left) : ZERO;
}
