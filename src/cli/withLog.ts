/** Work that writes to a workshop's batch log: one process at a time. */
import { join } from 'node:path';
import { cleanText } from '../facts/cleanText.ts';
import { type BatchLog, openLog } from '../records/batchLog.ts';
import { takeWritingRight } from '../records/oneWriter.ts';
import type { Workshop } from '../workshop/model.ts';
import { Ending, EXIT, type ExitCode } from './exit.ts';
import { LOG_FILE } from './folder.ts';

/** Opens the log, alone, for as long as the work takes. @throws LogTrouble when another process has it */
export async function withLog(folder: string, work: (log: BatchLog) => Promise<ExitCode>): Promise<ExitCode> {
  const right = takeWritingRight(folder);
  try {
    const log = openLog(join(folder, LOG_FILE));
    try {
      return await work(log);
    } finally {
      log.close();
    }
  } finally {
    right.release();
  }
}

/** Who does the work: `--by`, or the first of the workshop's operators. @throws Ending for a stranger */
export function operator(workshop: Workshop, by: string | undefined): string {
  const name = by ?? workshop.operators[0] ?? 'unnamed';
  if (by !== undefined && workshop.operators.length > 0 && !workshop.operators.includes(by)) {
    throw new Ending(
      EXIT.wrongUse,
      `"${cleanText(by)}" is not among the operators of this workshop: ${workshop.operators.map(cleanText).join(', ')}.`,
    );
  }
  return name;
}
