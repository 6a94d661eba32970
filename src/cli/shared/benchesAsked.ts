/** Reading the log of this workshop, or what all benches of its shared history have sent (`--all-benches`). */
import { existsSync } from 'node:fs';
import { join } from 'node:path';
import { type BatchEntry, type BatchLog, openLog } from '../../records/batchLog.ts';
import { batchMeant, type Resolved } from '../../records/resolveBatch.ts';
import type { AcrossBenches } from '../../records/shared/acrossBenches.ts';
import { benchId } from '../../records/shared/benchId.ts';
import { Ending, EXIT } from '../exit.ts';
import { LOG_FILE } from '../folder.ts';
import { historyAddress, withHistory } from './shared.ts';

export interface BenchesOption {
  readonly in: string;
  readonly allBenches?: boolean | undefined;
}

/** @throws LogTrouble; HistoryTrouble where the shared history is wanted and can't be read */
export async function readingLog<T>(options: BenchesOption, work: (log: BatchLog) => Promise<T> | T): Promise<T> {
  if (options.allBenches) return readingAll(options.in, work);
  const log = openLog(join(options.in, LOG_FILE), { readOnly: true });
  try {
    return await work(log);
  } finally {
    log.close();
  }
}

/** What does not hold is told on standard error. */
export async function readingAll<T>(folder: string, work: (log: AcrossBenches) => Promise<T> | T): Promise<T> {
  const { role } = historyAddress(folder);
  const { readBenches } = await import('../../records/shared/readBenches.ts');
  const { AcrossBenches } = await import('../../records/shared/acrossBenches.ts');
  const file = join(folder, LOG_FILE);
  const log = existsSync(file) ? openLog(file, { readOnly: true }) : undefined;
  try {
    const benches = await withHistory(folder, (history) =>
      readBenches(history, log && { bench: benchId(folder), role, log }),
    );
    for (const { fault } of benches) if (fault !== null) process.stderr.write(`${fault}\n`);
    const across = new AcrossBenches(benches);
    try {
      return await work(across);
    } finally {
      across.close();
    }
  } finally {
    log?.close();
  }
}

/** The batch that is meant; across benches also without the bench's name, where only one bench has one of that id. */
export function batchAsked(log: BatchLog, wanted: string | undefined): string {
  const isOfABench = wanted !== undefined && log.list.ids().some((id) => id.includes('/'));
  const found = (isOfABench ? withoutBench(log.batches(), wanted) : undefined) ?? batchMeant(log, wanted);
  if (!found.ok) throw new Ending(EXIT.failed, found.say);
  return found.batch.id;
}

function withoutBench(batches: readonly BatchEntry[], wanted: string): Resolved | undefined {
  if (wanted === '' || wanted.includes('/')) return undefined;
  const fits = (by: (own: string) => boolean) =>
    batches.filter(({ id }) => id.includes('/') && by(id.slice(id.indexOf('/') + 1)));
  const exact = fits((own) => own === wanted);
  const fitting = exact.length > 0 ? exact : fits((own) => own.startsWith(wanted));
  const [only] = fitting;
  if (!only) return undefined;
  if (fitting.length === 1) return { ok: true, batch: only };
  const named = fitting.slice(-3).map(({ id }) => id);
  return {
    ok: false,
    say: `${fitting.length} batches of the benches begin with "${wanted}", such as ${named.join(', ')}. Name one whole.`,
  };
}
