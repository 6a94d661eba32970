/** Writes the printable record of a batch into the workshop's folder `records/`. */
import { mkdirSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { labelOfBatch } from '../../label/labelSheet.ts';
import type { BatchLog } from '../../records/batchLog.ts';
import { type BatchRecord, batchRecord } from '../../records/record/batchRecord.ts';
import type { PageExtras } from '../../records/record/recordHtml.tsx';
import { Ending, EXIT } from '../exit.ts';
import { loadFormulaIfSound, loadWorkshop } from '../folder.ts';

/** The record of a batch that is in the log. */
export function recordOf(log: BatchLog, batch: string): BatchRecord {
  const seal = log.seal(batch);
  if (seal === null) throw new Ending(EXIT.failed, `The log has no facts of batch ${batch}.`);
  return batchRecord(log.facts(batch), seal);
}

/**
 * The printable page of a batch; where it is finished and the workshop file can be read, with the text for its label and
 * the judgement on its bars.
 */
export async function pageOf(folder: string, log: BatchLog, batch: string, nav?: PageExtras['nav']): Promise<string> {
  const { recordHtml } = await import('../../records/record/recordHtml.tsx');
  const record = recordOf(log, batch);
  // A part has no label and no bars of its own: the batch that it is part of has them.
  const isWhole = record.status === 'finished' && record.partOf === null;
  const extras = isWhole ? await extrasOf(folder, log, record) : {};
  return recordHtml(record, { ...extras, nav });
}

async function extrasOf(folder: string, log: BatchLog, record: BatchRecord): Promise<PageExtras> {
  try {
    const { contentsOf } = await import('./contents.ts');
    const { plan, batch } = record;
    const workshop = loadWorkshop(folder);
    const formula = loadFormulaIfSound(folder, plan.formula.id, workshop);
    return {
      label: labelOfBatch({ id: batch, plan }, log.facts(batch), workshop, formula),
      contents: contentsOf(log, record, workshop, { in: folder }),
    };
  } catch (error) {
    if (error instanceof Ending) return {}; // the record needs only the log
    throw error;
  }
}

/** @returns the page's path */
export async function writeRecordPage(folder: string, log: BatchLog, batch: string): Promise<string> {
  const page = await pageOf(folder, log, batch);
  const file = join(folder, 'records', `${batch}.html`);
  mkdirSync(join(folder, 'records'), { recursive: true });
  writeFileSync(file, page, { mode: 0o600 });
  return file;
}
