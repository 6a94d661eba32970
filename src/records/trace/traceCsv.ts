/** A trace as CSV by RFC 4180: one row for each batch of a lot, or for each lot of a batch. */
import { stringify } from 'csv-stringify/sync';
import { type Mass, mass, sumOf } from '../../mass/mass.ts';
import { exactGrams } from '../../mass/text.ts';
import { tamed } from '../record/recordCsv.ts';
import type { Held } from './flow.ts';
import type { BatchReport, LotReport, NamedLot } from './report.ts';
import { amountInWords, remarks } from './traceWords.ts';
import type { TracedBatch } from './uses.ts';

export const TRACE_COLUMNS = [
  'ingredient',
  'name',
  'lot',
  'supplier_lot',
  'certificate',
  'expires',
  'blocked',
  'batch',
  'formula',
  'version',
  'status',
  'started',
  'ended',
  'bars',
  'bars_beside',
  'bars_planned',
  'left_over_g',
  'fate',
  'in_batch_g',
  'taken_g',
  'amount',
  'stocks',
  'made_in',
  'notes',
] as const;

type Row = Record<(typeof TRACE_COLUMNS)[number], string | Mass | null>;

/** The recall sheet: every batch that drew from the lot. */
export function lotCsv({ lot, batches }: LotReport): string {
  return printed(batches.map((held) => rowOf(lot, held.batch, held, null)));
}

/** Every lot that a batch came from. */
export function batchCsv({ batch, lots }: BatchReport): string {
  return printed(lots.map((lot) => rowOf(lot, batch, lot, lot.madeIn)));
}

function rowOf(of: NamedLot, batch: TracedBatch, held: Held, madeIn: string | null): Row {
  const { ingredient, name, lot, papers } = of;
  return {
    ingredient,
    name,
    lot,
    supplier_lot: papers.supplierLot,
    certificate: papers.certificate,
    expires: papers.expires,
    blocked: papers.blocked,
    batch: batch.batch,
    formula: batch.formula,
    version: batch.version,
    status: batch.status,
    started: batch.started,
    ended: batch.ended,
    bars: counted(batch.barsMade),
    bars_beside: counted(batch.barsBeside),
    bars_planned: counted(batch.bars),
    left_over_g: batch.barsMade === null ? null : sumOf(batch.leftOver.map(({ net }) => net)),
    fate: held.fate,
    in_batch_g: held.inside,
    taken_g: held.taken,
    amount: amountInWords(held),
    stocks: [...new Set(held.through.map(({ lot: code }) => code))].join(' | '),
    made_in: madeIn,
    notes: [...remarks(held), ...batch.corrections].join(' | '),
  };
}

/** As text: numbers are masses here. */
function counted(of: number | null): string | null {
  return of === null ? null : String(of);
}

function printed(rows: readonly Row[]): string {
  return stringify(rows as Row[], {
    columns: [...TRACE_COLUMNS],
    header: true,
    record_delimiter: '\r\n',
    escape_formulas: true,
    cast: { number: (ug) => exactGrams(mass(ug)), string: tamed },
  });
}
