/** What a recall sheet says of a lot, part by part: for paper (`lotPage.tsx`) and for the terminal (`traceText.ts`) alike. */
import { cleanAll } from '../cleanAll.ts';
import type { HeldIn } from './flow.ts';
import { isPresent, type LotReport, type NamedLot, type OtherLot } from './report.ts';
import {
  amountInWords,
  barsInWords,
  countInWords,
  grams,
  HEADINGS,
  heldIn,
  leftOverInWords,
  remarks,
  stateInWords,
  unlinkedInWords,
  whatToDo,
} from './traceWords.ts';
import { FATES } from './uses.ts';

export interface LotSheet {
  readonly lot: NamedLot;
  readonly drawn: string;
  /** What its book says is left; null for a lot that the workshop has no book of. */
  readonly left: string | null;
  /** How many batches and bars hold it, or may hold it. */
  readonly present: string;
  /** What to do if it must not be used, in this order. */
  readonly todo: readonly string[];
  /** Batches that drew it, those of one fate together; none where no batch did. */
  readonly groups: readonly SheetGroup[];
  /** Stocks that hold it; `share`: how much of each it is. */
  readonly carriers: readonly {
    readonly name: string;
    readonly ingredient: string;
    readonly lot: string;
    readonly madeIn: string;
    readonly share: string;
  }[];
  /** What can not be followed, sentences. */
  readonly unlinked: readonly string[];
  /** Heads `others`. */
  readonly othersHeading: string;
  /** What else is in the batches that hold it or may; `count`: in how many of several, `all 3`; empty for a single batch. */
  readonly others: readonly (OtherLot & { readonly count: string })[];
}

export interface SheetGroup {
  readonly heading: string;
  /** Heads the column of its batches. */
  readonly column: string;
  readonly count: string;
  readonly batches: readonly SheetBatch[];
}

export interface SheetBatch {
  readonly batch: string;
  readonly name: string;
  readonly version: string;
  readonly amount: string;
  /** Empty where there are none; so is what was left over. */
  readonly bars: string;
  readonly leftOver: string;
  readonly state: string;
  /** When it ended, or began where it is open: `YYYY-MM-DD`. */
  readonly day: string;
  readonly remarks: readonly string[];
}

/** @param block the command that blocks the lot, as it is typed here @returns with every foreign text cleaned */
export function lotSheet(report: LotReport, block: string): LotSheet {
  const { lot, drawn, batches, carriers, others, unlinked } = report;
  const present = batches.filter(isPresent);
  const of = present.length;
  const { left } = lot.papers;
  return cleanAll({
    lot,
    drawn: grams(drawn),
    left: left === null ? null : grams(left),
    present: countInWords(present),
    todo: whatToDo(report, block),
    groups: FATES.flatMap((fate): SheetGroup[] => {
      const held = heldIn(batches, fate);
      if (held.length === 0) return [];
      const { batches: heading, column } = HEADINGS[fate];
      return [{ heading, column, count: countInWords(held), batches: held.map(batchOf) }];
    }),
    carriers: carriers.map(({ name, ingredient, lot: code, madeIn, share, fate }) => {
      // Small shares keep their first digits: `0.021 %`.
      const percent = `${Number((share * 100).toPrecision(3))} %`;
      return { name, ingredient, lot: code, madeIn, share: fate === 'may' ? `up to ${percent}` : percent };
    }),
    unlinked: unlinked.map((each) => unlinkedInWords(each, lot.name)),
    othersHeading: `What else is in ${of === 1 ? 'that batch' : `these ${of} batches`}`,
    others: others.map((each) => {
      const count = of === 1 ? '' : each.batches === of ? `all ${of}` : String(each.batches);
      return { ...each, count };
    }),
  });
}

function batchOf(held: HeldIn): SheetBatch {
  const { batch, name, version, ended, started, corrections } = held.batch;
  return {
    batch,
    name,
    version,
    amount: amountInWords(held),
    bars: barsInWords(held.batch),
    leftOver: leftOverInWords(held.batch),
    state: stateInWords(held.batch),
    day: (ended ?? started).slice(0, 10),
    remarks: [...remarks(held), ...corrections.map((each) => `noted afterwards: ${each}`)],
  };
}
