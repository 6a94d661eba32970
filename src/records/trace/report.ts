/**
 * What is told of a lot or of a batch: all batches that hold the lot and what else is in them, or all lots that a batch
 * came from. Plain data; `traceText.ts`, `traceJson.ts`, `traceCsv.ts`, `lotPage.tsx` and `batchPage.tsx` print it.
 */
import { type Mass, sumOf } from '../../mass/mass.ts';
import { backward, type Carrier, forward, type HeldIn, type HeldLot, lotKey } from './flow.ts';
import type { LotName, TraceLook } from './look.ts';
import type { TracedBatch } from './uses.ts';

/** What is known of a lot beside what was drawn from it. */
export interface LotPapers {
  readonly supplierLot: string | null;
  /** File name. */
  readonly certificate: string | null;
  /** Last day of use, `YYYY-MM-DD`. */
  readonly expires: string | null;
  /** What its book says is left; null for a lot that the workshop does not know. */
  readonly left: Mass | null;
  /** Why no batch may use it. */
  readonly blocked: string | null;
}

export const NO_PAPERS: LotPapers = {
  supplierLot: null,
  certificate: null,
  expires: null,
  left: null,
  blocked: null,
};

/** What the workshop knows of its lots. */
export interface LotDesk {
  /** The name of an ingredient; undefined for one that the workshop does not know. */
  nameOf(ingredient: string): string | undefined;
  papersOf(lot: LotName): LotPapers;
  /** Lots of all ingredients that are made of this one, by what the workshop says of them. */
  mixturesOf(ingredient: string): readonly (LotName & { readonly name: string })[];
  /** Whether an ingredient is made of others of the workshop. */
  isMixed(ingredient: string): boolean;
}

export interface NamedLot extends LotName {
  readonly name: string;
  readonly papers: LotPapers;
}

export interface OtherLot extends NamedLot {
  /** In so many of the batches, straight out of its jar. */
  readonly batches: number;
}

export interface LotReport {
  readonly lot: NamedLot;
  /** What left it for batches, waste included. */
  readonly drawn: Mass;
  /** Batches that drew it or a stock with it in it, by the time of their beginning. */
  readonly batches: readonly HeldIn[];
  readonly carriers: readonly (Carrier & { readonly name: string })[];
  /** What else is in the batches that hold it or may hold it; the most frequent first. */
  readonly others: readonly OtherLot[];
  /** What may hold it too, and can't be followed. */
  readonly unlinked: readonly NamedLot[];
}

export interface BatchReport {
  readonly batch: TracedBatch;
  readonly lots: readonly (HeldLot & NamedLot & { readonly madeIn: string | null })[];
  /** Lots that were made of it. */
  readonly made: readonly NamedLot[];
  /** Mixtures in it of which nobody wrote down what batch they were made in. */
  readonly unlinked: readonly NamedLot[];
}

export const isPresent = ({ fate }: Pick<HeldIn, 'fate'>): boolean => fate === 'in' || fate === 'may';

/** Everything about a lot. */
export function reportLot(look: TraceLook, desk: LotDesk, root: LotName): LotReport {
  const { carriers, batches } = forward(look, root);
  const named = (lot: LotName): NamedLot => ({ ...lot, name: nameOf(desk, lot, ''), papers: desk.papersOf(lot) });
  const direct = batches.flatMap((held) => held.direct);
  return {
    lot: { ...root, name: nameOf(desk, root, direct[0]?.name ?? ''), papers: desk.papersOf(root) },
    drawn: sumOf(direct.map(({ taken }) => taken)),
    batches,
    carriers: carriers.map((carrier) => ({ ...carrier, name: nameOf(desk, carrier, '') })),
    others: othersIn(look, desk, root, batches),
    unlinked: desk
      .mixturesOf(root.ingredient)
      .filter((lot) => look.madeIn(lot) === null && lotKey(lot) !== lotKey(root))
      .map(named),
  };
}

function nameOf(desk: LotDesk, { ingredient }: LotName, known: string): string {
  return desk.nameOf(ingredient) ?? (known === '' ? ingredient : known);
}

function othersIn(look: TraceLook, desk: LotDesk, root: LotName, batches: readonly HeldIn[]): OtherLot[] {
  const lots = look.lotsIn(batches.filter(isPresent).map(({ batch }) => batch.batch));
  const others = lots
    .filter((lot) => lotKey(lot) !== lotKey(root))
    .map(({ name, ...lot }): OtherLot => ({ ...lot, name: nameOf(desk, lot, name), papers: desk.papersOf(lot) }));
  return others.sort((a, b) => b.batches - a.batches || compare(a.name, b.name) || compare(a.lot, b.lot));
}

/** Everything about a batch; undefined when the log has none of that name. */
export function reportBatch(look: TraceLook, desk: LotDesk, id: string): BatchReport | undefined {
  const batch = look.batch(id);
  if (!batch) return undefined;
  const lots = backward(look, id).map((held) => {
    const { ingredient, lot } = held;
    const name = nameOf(desk, held, held.name);
    return { ...held, name, papers: desk.papersOf({ ingredient, lot }), madeIn: look.madeIn(held) };
  });
  const made = look.madeOf(id).map((lot) => ({ ...lot, name: nameOf(desk, lot, ''), papers: desk.papersOf(lot) }));
  const unlinked = lots.filter((lot) => isPresent(lot) && lot.madeIn === null && desk.isMixed(lot.ingredient));
  return { batch, lots, made, unlinked };
}

function compare(a: string, b: string): number {
  return a < b ? -1 : a > b ? 1 : 0;
}
