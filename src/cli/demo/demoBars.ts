/** The end of the hands-off demo: the bars are weighed off, the last one is short, and the lot is judged. */
import type { BatchLog } from '../../records/batchLog.ts';
import type { Clock } from '../../signal/clock.ts';
import { seededRandom } from '../../simulate/seededRandom.ts';
import type { Workshop } from '../../workshop/model.ts';
import { atPan } from '../portion/portion.ts';
import { setUpPortion } from '../portion/portionSetup.ts';
import { recordOf } from '../records/recordPage.ts';
import type { ShowAs } from '../weigh/workbench.ts';
import { makeBars } from './barMaker.ts';
import type { MadeUpBench } from './madeUpBench.ts';

export interface DemoBars {
  readonly bench: MadeUpBench;
  readonly log: BatchLog;
  readonly workshop: Workshop;
  readonly batch: string;
  readonly by: string;
  readonly clock: Clock;
  readonly folder: string;
  readonly showAs: ShowAs;
  readonly seed: number;
  /** The maker stumbled: a sentence. */
  readonly onStumble: (say: string) => void;
}

export async function weighOffBars(of: DemoBars): Promise<void> {
  const { bench, log, workshop, batch, by, clock, folder, showAs, seed, onStumble } = of;
  const options = { in: folder, showAs };
  const record = recordOf(log, batch);
  const setup = setUpPortion(log, record, workshop, options);
  const pan = bench.world.pan(setup.scale.id);
  for (const vessel of [...pan.standing]) bench.hand.lift(vessel);
  const bowl = record.plan.phases.at(-1)?.vessel ?? '';
  let over = false;
  await atPan({
    log,
    workshop,
    batch,
    by,
    seat: bench.seat(setup.scale.id),
    setup,
    options,
    clock,
    alongside: (portion) => {
      makeBars({
        bench: portion,
        hand: bench.hand,
        pan,
        bowl: bench.world.vessel(bowl),
        clock,
        random: seededRandom(seed),
        isOver: () => over,
      }).catch((error: unknown) => onStumble(`The demo's maker stumbled: ${String(error)}`));
      return () => {
        over = true;
      };
    },
  });
}
