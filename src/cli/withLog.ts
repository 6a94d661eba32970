/** Work that writes to a workshop's batch log: one process at a time. */
import { existsSync } from 'node:fs';
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

/**
 * Counts what the log of an older bismar lacks, before anything is planned by it. Where there is no log yet, or another
 * process has it, nothing is done.
 */
export async function countFirst(folder: string): Promise<void> {
  if (!existsSync(join(folder, LOG_FILE))) return;
  try {
    await withLog(folder, async () => EXIT.done);
  } catch {
    // Whoever writes next is told why it can't be.
  }
}

/** From so many facts on it is told: what is counted in a moment needs no words. */
const WORTH_TELLING = 5000;

/** The log of an older bismar is counted once. Nothing waits for it: where it fails, what asks for it tells why. */
async function countWhatLacks(log: BatchLog): Promise<void> {
  const tell = (line: string) => void process.stderr.write(`${line}\n`);
  let toldAt: number | undefined;
  let lacking: number | undefined;
  try {
    await log.catchUp((done, all) => {
      lacking ??= all - done;
      if (lacking < WORTH_TELLING) return;
      if (toldAt === undefined) {
        tell(`Counting stock and batches from the log (${all.toLocaleString('en')} facts), once.`);
        tell('It may be stopped with Ctrl+C, and goes on the next time.');
      }
      const percent = Math.floor((100 * done) / all);
      if (percent < (toldAt ?? 0) + 10 && done < all && toldAt !== undefined) return;
      toldAt = percent;
      tell(`  ${percent} %`);
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
