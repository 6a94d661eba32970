/** What can be asked of traced batches, and of the lots that they drew from or that were made in them. */
import type { TracedBatch, Use } from './uses.ts';

/** A lot, by its ingredient and its code: two suppliers may number their lots alike. */
export interface LotName {
  readonly ingredient: string;
  readonly lot: string;
}

export interface TraceLook {
  /** All that batches drew from a lot, batch by batch. */
  usesOfLot(of: LotName): Use[];
  /** All that a batch drew, in the order of its draws. */
  usesOfBatch(batch: string): Use[];
  /** What is in these batches or may be, straight from its jar: each lot once, with how many of them it is in. */
  lotsIn(batches: readonly string[]): (LotName & { readonly name: string; readonly batches: number })[];
  batch(id: string): TracedBatch | undefined;
  /** Those of them that there are, by id. */
  batches(ids: readonly string[]): ReadonlyMap<string, TracedBatch>;
  /** Ids of the batches that were neither finished nor ended for good. */
  open(): string[];
  /** The batch that a lot was made in; null for a lot that was bought, or whose making is not known. */
  madeIn(of: LotName): string | null;
  /** Lots that were made in a batch. */
  madeOf(batch: string): LotName[];
  /** Lots by their own code or their supplier's, capitals or not. */
  named(code: string): LotName[];
}
