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
      await countWhatLacks(log);
      return await work(log);
    } finally {
      log.close();
    }
  } finally {
    right.release();
  }
}

/** From so many facts on it is told: what is counted in a moment needs no words. */
const WORTH_TELLING = 5000;

/** The log of an older bismar is counted once. Nothing waits for it: where it fails, what asks for it tells why. */
async function countWhatLacks(log: BatchLog): Promise<void> {
  let toldAt = -10;
  let lacking: number | undefined;
  try {
    await log.catchUp((done, all) => {
      lacking ??= all - done;
      const percent = Math.floor((100 * done) / all);
      if (lacking < WORTH_TELLING || (percent < toldAt + 10 && done < all)) return;
      toldAt = percent;
      const last = done < all ? '' : ' Done.';
      process.stderr.write(
        `Counting stock and batches from the log, once: ${percent} % of ${all.toLocaleString('en')} facts. It may be stopped, and goes on the next time.${last}\n`,
      );
    });
  } catch {
    // The facts are whole without it.
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
