/** A trace as JSON: masses as decimal grams in text, so that no reader loses digits. */
import type { Mass } from '../../mass/mass.ts';
import { exactGrams } from '../../mass/text.ts';
import { safeJson } from '../safeJson.ts';
import type { Held } from './flow.ts';
import type { BatchReport, LotPapers, LotReport, NamedLot } from './report.ts';
import type { TracedBatch, Use } from './uses.ts';

const orNull = (of: Mass | null) => (of === null ? null : exactGrams(of));

function useData({ draw, ingredient, lot, fate, doubtful, taken, inside, doubt, labelRead }: Use) {
  return {
    draw,
    ingredient,
    lot,
    fate,
    why: doubtful,
    taken_g: exactGrams(taken),
    in_batch_g: orNull(inside),
    doubt_g: orNull(doubt),
    label_read: labelRead,
  };
}

function heldData({ fate, inside, unweighed, taken, direct, through }: Held) {
  return {
    fate,
    in_batch_g: exactGrams(inside),
    more_unweighed: unweighed,
    taken_g: exactGrams(taken),
    draws: direct.map(useData),
    through: through.map(useData),
  };
}

function batchData({
  batch,
  formula,
  name,
  version,
  mass,
  bars,
  barsMade,
  barsBeside,
  leftOver,
  ...rest
}: TracedBatch) {
  return {
    batch,
    formula,
    name,
    version,
    mass_g: exactGrams(mass),
    bars_planned: bars,
    bars: barsMade,
    bars_beside: barsBeside,
    left_over: leftOver.map(({ what, net }) => ({ what, net_g: exactGrams(net) })),
    ...rest,
  };
}

function papersData({ supplierLot, certificate, expires, left, blocked }: LotPapers) {
  return { supplier_lot: supplierLot, certificate, expires, left_g: orNull(left), blocked };
}

function lotData({ ingredient, lot, name, papers }: NamedLot) {
  return { ingredient, lot, name, ...papersData(papers) };
}

export function lotJson({ lot, drawn, batches, carriers, others, unlinked }: LotReport): string {
  const data = {
    lot: lotData(lot),
    drawn_g: exactGrams(drawn),
    batches: batches.map(({ batch, ...held }) => ({ ...batchData(batch), ...heldData(held) })),
    stocks: carriers.map(({ ingredient, lot: code, name, madeIn, fate, share }) => {
      return { ingredient, lot: code, name, made_in: madeIn, fate, share };
    }),
    also_in_these_batches: others.map((other) => ({ ...lotData(other), batches: other.batches })),
    not_followed: unlinked.map(lotData),
  };
  return safeJson(data, 2);
}

export function batchJson({ batch, lots, made, unlinked }: BatchReport): string {
  const data = {
    batch: batchData(batch),
    lots: lots.map((held) => ({ ...lotData(held), made_in: held.madeIn, ...heldData(held) })),
    made_of_it: made.map(lotData),
    not_followed: unlinked.map(lotData),
  };
  return safeJson(data, 2);
}
