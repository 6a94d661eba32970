/**
 * Where a lot went, and where a batch came from, through stock solutions of any depth: a stock is made as a batch of its
 * own, and becomes a lot that other batches draw from. Both ways share the same few questions, so that they agree.
 */
import { type Mass, mass, plus, sumOf, ZERO } from '../../mass/mass.ts';
import type { LotName, TraceLook } from './look.ts';
import { FATES, type Fate, type TracedBatch, type Use } from './uses.ts';

/** One key for an ingredient and a lot. */
export function lotKey({ ingredient, lot }: LotName): string {
  return JSON.stringify([ingredient, lot]);
}

/** A lot that is in a batch, or may be, or was drawn for it. */
export interface Held {
  readonly fate: Fate;
  /** What of the lot is in the batch, stocks included, taken to be evenly mixed; for `may` the most that can be. */
  readonly inside: Mass;
  /** Some of it was never weighed, so that there may be more than `inside`. */
  readonly unweighed: boolean;
  /** What the batch drew from the lot itself: all that left it, and the draws. */
  readonly taken: Mass;
  readonly direct: readonly Use[];
  /** Stocks that brought it, from the batch's own draw on; empty when all of it came straight from its jar. */
  readonly through: readonly Use[];
}

export interface HeldIn extends Held {
  readonly batch: TracedBatch;
}

export interface HeldLot extends Held, LotName {
  readonly name: string;
}

/** A stock that holds a lot. */
export interface Carrier extends LotName {
  readonly madeIn: string;
  readonly fate: 'in' | 'may';
  /** Grams of the lot in one gram of the stock. */
  readonly share: number;
}

export interface Forward {
  /** Stocks that hold the lot, or may. */
  readonly carriers: readonly Carrier[];
  /** By the time of their beginning. */
  readonly batches: readonly HeldIn[];
}

const isPresent = ({ fate }: Pick<Use, 'fate'>) => fate === 'in' || fate === 'may';

/** The fate that counts most. */
export function worstOf(fates: readonly Fate[]): Fate {
  return FATES.find((fate) => fates.includes(fate)) ?? 'thrown-away';
}

/** How much of one lot is in each gram of another, and how surely; worked out once for each lot. */
class Shares {
  readonly #look: TraceLook;
  readonly #of: string;
  readonly #share = new Map<string, number>();

  constructor(look: TraceLook, of: LotName) {
    this.#look = look;
    this.#of = lotKey(of);
  }

  /** Grams of the lot in a gram of this one: 1 for itself, 0 where it is not in it. */
  in(lot: LotName): number {
    const key = lotKey(lot);
    if (key === this.#of) return 1;
    const known = this.#share.get(key);
    if (known !== undefined) return known;
    this.#share.set(key, 0); // a stock can't be made of itself: whoever wrote so is not followed round and round
    const made = this.#look.madeIn(lot);
    const uses = made === null ? [] : this.#look.usesOfBatch(made).filter(isPresent);
    const whole = sumOf(uses.map(({ inside }) => inside ?? ZERO));
    const part = uses.reduce((sum, use) => sum + (use.inside ?? 0) * this.in(use), 0);
    const share = whole > 0 ? part / whole : 0;
    this.#share.set(key, share);
    return share;
  }
}

/**
 * Lots that can be come to by steps from one to the next, the first included, and how surely.
 * @param next lots one step on, and whether that step is sure
 */
function reached(
  from: LotName,
  next: (lot: LotName) => readonly (LotName & { readonly sure: boolean })[],
): Map<string, LotName & { readonly fate: 'in' | 'may' }> {
  const found = new Map<string, LotName & { readonly fate: 'in' | 'may' }>();
  const steps = new Map<string, ReturnType<typeof next>>();
  const stepsFrom = (lot: LotName) => {
    const known = steps.get(lotKey(lot)) ?? next(lot);
    steps.set(lotKey(lot), known);
    return known;
  };
  // What is sure first: nothing that was found to be sure is doubted later.
  for (const fate of ['in', 'may'] as const) {
    const open: LotName[] = fate === 'in' ? [from] : [...found.values()];
    if (fate === 'in') found.set(lotKey(from), { ...from, fate });
    for (let lot = open.pop(); lot; lot = open.pop()) {
      for (const { ingredient, lot: code, sure } of stepsFrom(lot)) {
        const to = { ingredient, lot: code };
        if ((fate === 'in' && !sure) || found.has(lotKey(to))) continue;
        found.set(lotKey(to), { ...to, fate });
        open.push(to);
      }
    }
  }
  return found;
}

/** Where a lot went. */
export function forward(look: TraceLook, root: LotName): Forward {
  const shares = new Shares(look, root);
  const usesOf = new Map<string, readonly Use[]>();
  const found = reached(root, (lot) => {
    const uses = look.usesOfLot(lot);
    usesOf.set(lotKey(lot), uses);
    return uses
      .filter(isPresent)
      .flatMap((use) => look.madeOf(use.batch).map((made) => ({ ...made, sure: use.fate === 'in' })));
  });
  const byBatch = new Map<string, { use: Use; fate: 'in' | 'may' }[]>();
  for (const [key, { fate }] of found) {
    for (const use of usesOf.get(key) ?? []) {
      byBatch.set(use.batch, [...(byBatch.get(use.batch) ?? []), { use, fate }]);
    }
  }
  const known = look.batches([...byBatch.keys()]);
  const batches = [...byBatch].flatMap(([id, uses]): HeldIn[] => {
    const batch = known.get(id);
    return batch ? [{ batch, ...held(root, uses, shares) }] : [];
  });
  const carriers = [...found.values()].flatMap(({ fate, ...lot }): Carrier[] => {
    const madeIn = lotKey(lot) === lotKey(root) ? null : look.madeIn(lot);
    return madeIn === null ? [] : [{ ...lot, madeIn, fate, share: shares.in(lot) }];
  });
  return {
    carriers,
    batches: batches.sort(({ batch: a }, { batch: b }) => order(a.started, b.started) || (a.batch < b.batch ? -1 : 1)),
  };
}

const placeOf = ({ draw, ingredient, lot, fate }: Use) => JSON.stringify([draw, ingredient, lot, FATES.indexOf(fate)]);

/** What a lot comes to in one batch. @param uses the batch's draws of it, and of stocks that hold it that surely */
function held(
  root: LotName,
  uses: readonly { readonly use: Use; readonly fate: 'in' | 'may' }[],
  shares: Shares,
): Held {
  const isOwn = (use: Use) => lotKey(use) === lotKey(root);
  const all = uses.map(({ use }) => use).sort((a, b) => (placeOf(a) < placeOf(b) ? -1 : 1));
  const direct = all.filter(isOwn);
  return {
    fate: worstOf(uses.map(({ use, fate }) => (use.fate === 'in' ? fate : use.fate))),
    inside: sumOf(uses.map(({ use }) => mass(Math.round((use.inside ?? 0) * shares.in(use))))),
    unweighed: uses.some(({ use }) => use.fate === 'may' && use.inside === null),
    taken: sumOf(direct.map(({ taken }) => taken)),
    direct,
    through: all.filter((use) => !isOwn(use)),
  };
}

/** All lots that a batch came from, those of its stocks too: its own draws first, then what is in its stocks. */
export function backward(look: TraceLook, batch: string): HeldLot[] {
  const own = look.usesOfBatch(batch);
  const names = new Map(own.map((use) => [lotKey(use), use.name]));
  const lots = new Map<string, LotName>();
  /** By the batch's own draws: what is in that draw's lot, and how surely. */
  const inOwn = new Map<string, ReturnType<typeof reached>>();
  for (const use of own) {
    const key = lotKey(use);
    if (inOwn.has(key)) continue;
    const found = reached({ ingredient: use.ingredient, lot: use.lot }, (lot) => {
      const made = look.madeIn(lot);
      return (made === null ? [] : look.usesOfBatch(made)).filter(isPresent).map((part) => {
        names.set(lotKey(part), names.get(lotKey(part)) ?? part.name);
        return { ingredient: part.ingredient, lot: part.lot, sure: part.fate === 'in' };
      });
    });
    inOwn.set(key, found);
    for (const [each, { ingredient, lot }] of found) lots.set(each, { ingredient, lot });
  }
  const isOwn = new Set(inOwn.keys());
  const all = [...lots].map(([key, lot]): HeldLot => {
    const shares = new Shares(look, lot);
    const uses = own.flatMap((use) => {
      const fate = inOwn.get(lotKey(use))?.get(key)?.fate;
      return fate === undefined ? [] : [{ use, fate }];
    });
    return { ...lot, name: names.get(key) ?? lot.ingredient, ...held(lot, uses, shares) };
  });
  return [...all.filter((lot) => isOwn.has(lotKey(lot))), ...all.filter((lot) => !isOwn.has(lotKey(lot)))];
}

/** What a batch holds of all lots together, drawn straight. */
export function contentOf(uses: readonly Use[]): Mass {
  return plus(...uses.filter(isPresent).map(({ inside }) => inside ?? ZERO));
}

function order(a: string, b: string): number {
  return Date.parse(a) - Date.parse(b);
}
