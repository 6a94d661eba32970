/** `bismar insight`: what the log teaches of hands, vessels, scales and losses. It reads, and changes nothing. */
import { join } from 'node:path';
import { cleanText } from '../../facts/cleanText.ts';
import { SCALES } from '../../facts/fact.ts';
import { type Insight, learn } from '../../insight/learn.ts';
import { type Proposal, propose } from '../../insight/propose.ts';
import { samplesOf } from '../../insight/samples.ts';
import { type BatchLog, openLog } from '../../records/batchLog.ts';
import { Ending, EXIT, type ExitCode } from '../exit.ts';
import { LOG_FILE } from '../folder.ts';
import { writePage } from './writePage.ts';

export interface InsightOptions {
  readonly in: string;
  /** The newest so many batches. */
  readonly last?: string | undefined;
  readonly json?: boolean | undefined;
  readonly html?: string | undefined;
}

/** Habits change, and a log grows for ever: more than these say little of today. */
const USUAL = 200;

export function learnFrom(log: BatchLog, last = USUAL): { readonly insight: Insight; readonly proposals: Proposal[] } {
  const batches = log.list.newest(last).map(({ id }) => samplesOf(log.facts(id)));
  const insight = learn(batches, log.facts(SCALES));
  return { insight, proposals: propose(insight, batches) };
}

export async function insight(options: InsightOptions): Promise<ExitCode> {
  const last = options.last === undefined ? USUAL : Number(options.last);
  if (!Number.isSafeInteger(last) || last < 1) {
    throw new Ending(EXIT.wrongUse, '--last wants a number of batches, such as --last 50.');
  }
  const log = openLog(join(options.in, LOG_FILE), { readOnly: true });
  try {
    const { insight: found, proposals } = learnFrom(log, last);
    if (options.html !== undefined) {
      const { insightPage } = await import('../../records/insight/insightPage.tsx');
      writePage(options.html, insightPage(found, proposals));
      if (!options.json) process.stdout.write(`${cleanText(options.html)}\n`);
    }
    if (options.json) {
      const { insightJson } = await import('../../records/insight/insightJson.ts');
      process.stdout.write(`${insightJson(found, proposals)}\n`);
    }
    if (options.html === undefined && !options.json) {
      const { insightText } = await import('../../records/insight/insightText.ts');
      process.stdout.write(`${insightText(found, proposals, process.stdout.columns)}\n`);
    }
    return EXIT.done;
  } finally {
    log.close();
  }
}
