/** `bismar` alone: the bench of the workshop in this folder; elsewhere it says what can be done. */

import { join } from 'node:path';
import { cleanText } from '../../facts/cleanText.ts';
import type { Fact } from '../../facts/fact.ts';
import { type BatchEntry, openLogIfBegun } from '../../records/batchLog.ts';
import { EXIT, type ExitCode } from '../exit.ts';
import { formulaIds, isWorkshop, LOG_FILE, loadWorkshop } from '../folder.ts';
import { hint } from './hint.ts';
import { openBatchLines } from './openBatches.ts';

const print = (line: string) => void process.stdout.write(`${line}\n`);

export async function start(folder: string): Promise<ExitCode> {
  if (!isWorkshop(folder)) {
    print(folder === '.' ? 'There is no workshop in this folder.' : `There is no workshop in ${cleanText(folder)}.`);
    print(`  ${hint('demo')}       shows a made-up one on simulated scales`);
    print(`  ${hint('init DIR')}   makes one of your own`);
    print(`  ${hint('--help')}     all commands`);
    return EXIT.done;
  }
  const workshop = loadWorkshop(folder);
  print(cleanText(workshop.name));
  const file = join(folder, LOG_FILE);
  for (const line of batchesIn(file, folder)) print(line);
  print(`Formulas: ${formulaIds(folder).map(cleanText).join(', ') || 'none yet'}`);
  print(`  ${hint('weigh FORMULA', folder)}    weigh a batch`);
  print(`  ${hint('plan FORMULA', folder)}     see what it needs first`);
  return EXIT.done;
}

/** What is open, and what can be done with the batch finished last. */
function batchesIn(file: string, folder: string): string[] {
  const log = openLogIfBegun(file);
  if (!log) return [];
  try {
    const last = log.list.lastFinished();
    const done = last ? finishedLines(last, log.facts(last.id), folder) : [];
    return [...openBatchLines(log.openBatches(), folder, (id) => log.facts(id)), ...done];
  } finally {
    log.close();
  }
}

function finishedLines({ id, formula }: BatchEntry, facts: readonly Fact[], folder: string): string[] {
  const hasBars = facts.some((fact) => fact.kind === 'batch-started' && fact.plan.bars !== null);
  const isWeighedOff = facts.some(({ kind }) => kind === 'portioning-ended');
  return [
    cleanText(`Finished last: batch ${id} of ${formula.name}`),
    ...(hasBars && !isWeighedOff ? [`  ${hint(`portion ${id}`, folder)}    weigh off its bars`] : []),
    `  ${hint(`record ${id}`, folder)}    what went in`,
  ];
}
