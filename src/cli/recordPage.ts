/** Writes the printable record of a batch into the workshop's folder `records/`. */
import { mkdirSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import type { BatchLog } from '../records/batchLog.ts';
import { type BatchRecord, batchRecord } from '../records/batchRecord.ts';
import { Ending, EXIT } from './exit.ts';

/** The record of a batch that is in the log. */
export function recordOf(log: BatchLog, batch: string): BatchRecord {
  const seal = log.seal(batch);
  if (seal === null) throw new Ending(EXIT.failed, `The log has no facts of batch ${batch}.`);
  return batchRecord(log.facts(batch), seal);
}

/** @returns the page's path */
export async function writeRecordPage(folder: string, log: BatchLog, batch: string): Promise<string> {
  const { recordHtml } = await import('../records/recordHtml.tsx');
  const record = recordOf(log, batch);
  const file = join(folder, 'records', `${batch}.html`);
  mkdirSync(join(folder, 'records'), { recursive: true });
  writeFileSync(file, recordHtml(record), { mode: 0o600 });
  return file;
}
