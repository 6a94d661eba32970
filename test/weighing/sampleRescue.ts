/** A way out of a hold as simple as can be: the draw that is held, and the batch with it, grow by what is too much. */

import { drawOf } from '../../src/facts/apply.ts';
import type { BatchState } from '../../src/facts/batchState.ts';
import { wanted } from '../../src/facts/wanted.ts';
import { mass, minus, plus } from '../../src/mass/mass.ts';
import type { Held, Offer, Rescue } from '../../src/rescue/model.ts';

/** An offer by which what is held lies in the middle of its band, two intervals wide on either side. */
export function grown(batch: BatchState, { draw: id, net }: Held): Offer {
  const { plan } = batch;
  const draw = drawOf(batch, id);
  const d = plan.scales[draw?.scale ?? '']?.d ?? mass(1);
  const extra = minus(net, draw ? wanted(batch, draw).target : net);
  const wide = mass(2 * d);
  const tasks = plan.tasks.map((task) => {
    if (task.kind !== 'draw' || task.id !== id) return task;
    const { part } = task;
    const whole = part && {
      ...part,
      target: plus(part.target, extra),
      low: plus(part.low, extra),
      high: plus(part.high, extra),
    };
    return { ...task, target: net, low: minus(net, wide), high: plus(net, wide), part: whole };
  });
  return {
    meant: 'exact',
    wholeBars: false,
    mass: plus(plan.mass, extra),
    bars: null,
    from: { mass: plan.mass, bars: null },
    extra,
    setBy: draw?.name ?? id,
    topUps: [],
    raised: draw ? [{ draw: id, name: draw.name, from: draw.target, to: net }] : [],
    leftAlone: [],
    plan: { ...plan, mass: plus(plan.mass, extra), tasks },
    say: 'Scale up: the draw grows by what is too much.',
  };
}

/** One offer and one refusal. */
export function aRescue(batch: BatchState, held: Held): Rescue {
  const reasons = [{ where: null, why: 'There are no bars.', instead: null }];
  const refused = { meant: 'within bands', wholeBars: true, mass: null, reasons } as const;
  return {
    offers: [grown(batch, held)],
    refused: [{ ...refused, say: 'No scale-up, because: There are no bars.' }],
  };
}
