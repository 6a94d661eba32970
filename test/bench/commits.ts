/**
 * From a weight that is accepted to its fact on the disk, beside the same bytes appended to a plain file and synced; and
 * what the tables beside the facts take after that, while nobody waits.
 */
import { closeSync, fdatasyncSync, openSync, writeSync } from 'node:fs';
import { join } from 'node:path';
import { setImmediate as turn } from 'node:timers/promises';
import type { Happened } from '../../src/facts/fact.ts';
import { mass } from '../../src/mass/mass.ts';
import { openLog } from '../../src/records/batchLog.ts';
import { LOG_FILE } from '../../src/records/logFile.ts';
import { makeBenchWorkshop } from './benchWorkshop.ts';
import { type Figures, figure, median, p99 } from './figures.ts';

const WARM_UP = 20;
const COMMITS = 300;

const weighed: Happened = {
  kind: 'weighed',
  draw: 'A1',
  ingredient: 'water',
  lot: 'W-1',
  vessel: 'bowl',
  scale: 'bench',
  way: 'add',
  target: mass(1_800_000_000),
  low: mass(1_782_000_000),
  high: mass(1_818_000_000),
  before: mass(912_000_000),
  after: mass(2_712_300_000),
  net: mass(1_800_300_000),
  takenBack: mass(0),
  uncertainty: mass(82_000),
  budget: { rounding: mass(40_825), repeatability: mass(0), drift: mass(0), check: mass(0) },
  how: 'dwell',
  deviation: null,
  lotEnded: false,
};

export async function commits(): Promise<Figures> {
  const workshop = await makeBenchWorkshop('/dev/null');
  const log = openLog(join(workshop.folder, LOG_FILE));
  const file = openSync(join(workshop.folder, 'plain'), 'a');
  const [batch] = log.batches();
  const ours: number[] = [];
  const plain: number[] = [];
  const tables: number[] = [];
  try {
    for (let number = -WARM_UP; number < COMMITS; number++) {
      const begin = performance.now();
      const facts = await log.append(batch?.id ?? '', 'Mira Tolland', [weighed]);
      const between = performance.now();
      writeSync(file, `${JSON.stringify(facts)}\n`);
      fdatasyncSync(file);
      const end = performance.now();
      await turn();
      const counted = performance.now();
      if (number < 0) continue;
      tables.push(counted - end);
      ours.push(between - begin);
      plain.push(end - between);
    }
  } finally {
    closeSync(file);
    log.close();
    workshop.remove();
  }
  const what = (which: string) => `accepted weight to synced fact, ${which}: beside a plain file appended and synced`;
  return {
    accept_to_synced_ms: figure(what('median'), 'ms', median(ours), median(plain)),
    tables_after_fact_ms: figure(
      'stock and traces counted after that, median: beside the fact synced',
      'ms',
      median(tables),
      median(ours),
    ),
    accept_to_synced_p99_ms: figure(what('99th percentile'), 'ms', p99(ours), p99(plain)),
  };
}
