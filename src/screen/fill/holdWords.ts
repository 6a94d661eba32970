/** Too much: what to do about it, best first, and what giving up would cost. */
import { outsideBy } from '../../accept/band.ts';
import { drawOf } from '../../facts/apply.ts';
import type { PlannedDraw } from '../../plan/model.ts';
import {
  arrivalNow,
  baseNow,
  drawNow,
  lostWithVessel,
  netNow,
  panNow,
  type Scene,
  wantedNow,
} from '../../weighing/look.ts';
import { rescueToRead } from '../../weighing/rescueNow.ts';
import type { WeighingSnapshot } from '../../weighing/station.ts';
import { sizeOn, vesselName } from './names.ts';
import { noBecause } from './rescueWords.ts';
import { doubtWords } from './scaleWords.ts';
import { type Words, words } from './wording.ts';

export function holdWords(draw: PlannedDraw, { context }: WeighingSnapshot): Words {
  const { plan } = context.batch;
  const net = netNow(context);
  const band = wantedNow(context);
  const vessel = vesselName(plan, draw.on);
  if (panNow(context).doubted) return doubtWords(vessel);
  if (net === null || band === null) return words('hold', 'STOP', `Too much ${draw.name}. Let the pan come to rest.`);
  const over = sizeOn(plan, draw.scale, outsideBy(net, band));
  const rescue = rescueToRead(context);
  const because = rescue?.offers.length === 0 ? noBecause(rescue) : undefined;
  const never = draw.over === 'never' ? ['It may never be over: it can not be kept so.'] : [];
  const detail = [...never, ...(because === undefined ? [] : [because])];
  switch (draw.way) {
    case 'subtract':
      return words('hold', 'STOP', `${over} too much taken. Tap at least that back into ${vessel}.`, detail);
    case 'cup':
      return words(
        'hold',
        'STOP',
        `${over} too much. Take at least that out of ${vessel}, before it is tipped.`,
        detail,
      );
    case 'add':
      return words('hold', 'STOP', `${over} too much. Take at least that back out of ${vessel}.`, detail);
  }
}

/** Names of the finished draws that would have to be done again, if all in the present draw's vessel were thrown away. */
function lostNames(scene: Scene): readonly string[] {
  return [...new Set(lostWithVessel(scene).map((id) => drawOf(scene.batch, id)?.name ?? id))];
}

/** What giving up means: `give up this vessel, 4 to weigh again`. */
export function giveUpLabel({ context }: WeighingSnapshot): string {
  const many = lostNames(context).length;
  if (arrivalNow(context)) return `give up what came over, ${many} to weigh again`;
  if (drawNow(context)?.way !== 'add') return 'throw away what was taken';
  return many === 0 ? 'give up this vessel' : `give up this vessel, ${many + 1} to weigh again`;
}

export function givingUpWords({ context }: WeighingSnapshot): Words {
  const { plan } = context.batch;
  const draw = drawNow(context);
  if (!draw) return givingUpComeOver(context);
  if (draw.way !== 'add') {
    return words('hold', 'GIVE UP?', `Throw away the ${draw.name} that was taken, and take it anew?`, [
      'What was taken is written down as waste.',
    ]);
  }
  const lost = lostNames(context);
  const isIn = baseNow(context) !== null;
  const again = isIn && !lost.includes(draw.name) ? [...lost, draw.name] : lost;
  return words('hold', 'GIVE UP?', `Throw away all that is in ${vesselName(plan, draw.vessel)} and weigh it again?`, [
    lost.length === 0 ? 'Only this draw is lost.' : `To be weighed again: ${again.join(', ')}.`,
  ]);
}

/** All that came with a hand-over is given up together, as it was planned together. */
function givingUpComeOver(scene: Scene): Words {
  const { batch } = scene;
  const lost = lostWithVessel(scene);
  const vessels = [...new Set(lost.map((id) => drawOf(batch, id)?.vessel ?? ''))].map((id) =>
    vesselName(batch.plan, id),
  );
  return words('hold', 'GIVE UP?', `Throw away what came over in ${vessels.join(' and ')}, and weigh it again?`, [
    `To be weighed again: ${lostNames(scene).join(', ')}.`,
  ]);
}
