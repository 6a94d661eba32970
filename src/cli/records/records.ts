/** `bismar log`, `bismar record`: they read, and work while another bismar weighs. */
import { join } from 'node:path';
import { cleanText } from '../../facts/cleanText.ts';
import { SCALES, STOCK } from '../../facts/fact.ts';
import type { Plan } from '../../plan/model.ts';
import type { BatchLog } from '../../records/batchLog.ts';
import { safeJson } from '../../records/safeJson.ts';
import { EXIT, type ExitCode } from '../exit.ts';
import { readText, shipped } from '../folder.ts';
import { type BenchesOption, batchAsked, readingAll, readingLog } from '../shared/benchesAsked.ts';
import { factLine } from '../weigh/factLine.ts';
import { pageOf, recordOf } from './recordPage.ts';
import { writePage } from './writePage.ts';

export interface LogOptions extends BenchesOption {
  readonly json?: boolean;
  readonly all?: boolean;
  readonly schema?: boolean;
}

function batchOfLog(log: BatchLog, wanted: string | undefined): string {
  return wanted === SCALES || wanted === STOCK ? wanted : batchAsked(log, wanted);
}

/** Facts as their benches have them, each with its bench's name. */
function logOfAll(wanted: string | undefined, options: LogOptions): Promise<ExitCode> {
  return readingAll(options.in, (across) => {
    const batch = options.all ? undefined : batchOfLog(across, wanted);
    const plans = new Map<string, Plan>();
    for (const fact of across.factsOfAll(batch)) {
      const { bench, own } = across.originOf(fact);
      if (fact.kind === 'batch-started' || fact.kind === 'rescued') plans.set(fact.batch, fact.plan);
      const line = options.json
        ? safeJson({ bench, ...fact, ...own })
        : cleanText(`${bench}  ${factLine(fact, plans.get(fact.batch))}`);
      process.stdout.write(`${line}\n`);
    }
    return EXIT.done;
  });
}

export function log(batch: string | undefined, options: LogOptions): Promise<ExitCode> {
  if (options.schema) return Promise.resolve(printSchema('fact.schema.json'));
  if (options.allBenches) return logOfAll(batch, options);
  return readingLog(options, (open) => {
    const facts = options.all ? open.facts() : open.facts(batchOfLog(open, batch));
    const plans = new Map<string, Plan>();
    for (const fact of facts) {
      if (fact.kind === 'batch-started' || fact.kind === 'rescued') plans.set(fact.batch, fact.plan);
      const line = options.json ? safeJson(fact) : factLine(fact, plans.get(fact.batch));
      process.stdout.write(`${line}\n`);
    }
    return EXIT.done;
  });
}

/** A published schema as it ships. */
function printSchema(name: string): ExitCode {
  process.stdout.write(readText(join(shipped('schemas'), name)));
  return EXIT.done;
}

export interface RecordOptions extends BenchesOption {
  readonly html?: string;
  readonly csv?: boolean;
  readonly json?: boolean;
  readonly schema?: boolean;
}

export function record(batch: string | undefined, options: RecordOptions): Promise<ExitCode> {
  if (options.schema) return Promise.resolve(printSchema('record.schema.json'));
  return readingLog(options, async (open) => {
    const id = batchAsked(open, batch);
    const made = recordOf(open, id);
    if (options.html !== undefined) {
      writePage(options.html, await pageOf(options.in, open, id));
      if (!options.csv && !options.json) process.stdout.write(`${cleanText(options.html)}\n`);
    }
    if (options.csv) {
      const { recordCsv } = await import('../../records/record/recordCsv.ts');
      process.stdout.write(recordCsv(made));
    }
    if (options.json) {
      const { recordJson } = await import('../../records/record/recordJson.ts');
      process.stdout.write(`${recordJson(made)}\n`);
    }
    if (options.html === undefined && !options.csv && !options.json) {
      const { recordText } = await import('../../records/record/recordText.ts');
      process.stdout.write(`${recordText(made, process.stdout.columns)}\n`);
    }
    return EXIT.done;
  });
}
