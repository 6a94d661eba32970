/**
 * A program for tests: takes the workshop in a folder, appends facts and prints the place of each once it is recorded.
 * `hold` takes the workshop and waits; `append N` appends N facts, or without end for N = 0.
 */
import { join } from 'node:path';
import { openLog } from '../../src/records/batchLog.ts';
import { takeWritingRight } from '../../src/records/oneWriter.ts';
import { g, samplePlan, weighed } from './sampleFacts.ts';

const [folder = '.', what = 'hold', count = '0'] = process.argv.slice(2);
try {
  const right = takeWritingRight(folder);
  const log = openLog(join(folder, 'batches.db'));
  if (what === 'hold') {
    process.stdout.write('holding\n');
    process.stdin.resume().on('end', () => {
      log.close();
      right.release();
    });
  } else {
    const batch = log.newBatchId();
    await log.append(batch, 'Mara', [{ kind: 'batch-started', plan: samplePlan }]);
    for (let done = 0; done < Number(count) || count === '0'; done++) {
      const [fact] = await log.append(batch, 'Mara', [weighed('A1', g(55 + done / 1000))]);
      process.stdout.write(`${JSON.stringify(fact)}\n`);
    }
    log.close();
    right.release();
  }
} catch (error) {
  process.stdout.write(`${error instanceof Error ? error.message : error}\n`);
  process.exitCode = 1;
}
