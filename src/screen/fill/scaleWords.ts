/** What to say when a scale can't be believed, or shows what it should not: what happened, what to do. */
import { drawOf } from '../../facts/apply.ts';
import type { Plan, PlannedDraw } from '../../plan/model.ts';
import { troubleInWords } from '../../signal/troubleWords.ts';
import { panNow } from '../../weighing/look.ts';
import { isLittle, otherUnitNow } from '../../weighing/oddLoad.ts';
import type { WeighingSnapshot } from '../../weighing/station.ts';
import { scaleToLookAt } from '../../weighing/unseenNow.ts';
import { gramsOn, scaleName, vesselName } from './names.ts';
import { type Words, words } from './wording.ts';

const STUCK = ['Does the number stand still when it is lifted? Then switch the scale off and on.'];
const UNEASY = [
  'A draught, a fan, a vibration, a hand on the table, something warm on the pan?',
  'Does the number stand quite still? Then lift the vessel off, and switch the scale off and on.',
];

/** The display stopped in full stride. */
export function doubtWords(vessel: string): Words {
  const say = `The number stopped too suddenly to be believed. Lift ${vessel} off, put it back.`;
  return words('trouble', 'LIFT', say, STUCK);
}

export function restlessWords(draw: PlannedDraw): Words {
  return words('trouble', 'RESTLESS', `The ${scaleName(draw.scale)} does not come to rest.`, UNEASY);
}

/** The zero of the display lies within the draw. */
export function zeroWords(draw: PlannedDraw, plan: Plan): Words {
  const say = `The ${scaleName(draw.scale)} has its zero with something on. Lift ${vesselName(plan, draw.on)} off, press its zero key, then e.`;
  return words('trouble', 'ZERO', say, ['While a scale shows zero it hides slow small additions.']);
}

/** What stands there is no vessel, or the right one by another unit. */
export function oddWords(draw: PlannedDraw, { context }: WeighingSnapshot): Words | undefined {
  const scale = scaleName(draw.scale);
  const shows = gramsOn(context.batch.plan, draw.scale, panNow(context).load);
  if (isLittle(context)) {
    return words(
      'trouble',
      'WIPE',
      `${shows} is still on the ${scale}. Wipe its pan; if it is empty all the same, press e.`,
      [
        'If it does not show g, press its unit key until it does.',
        'What was weighed since it was last empty may be off by as much; that is written down.',
      ],
    );
  }
  const unit = otherUnitNow(context);
  if (unit === undefined) return undefined;
  const vessel = vesselName(context.batch.plan, draw.on);
  return words(
    'trouble',
    'UNIT',
    `${shows} would be ${vessel} if the ${scale} showed ${unit}. Press its unit key until it shows g.`,
  );
}

/** All is weighed; the empty pan has not been read since the last of it. */
export function lastLookWords({ context }: WeighingSnapshot): Words {
  const { plan } = context.batch;
  const scale = scaleToLookAt(context) ?? '';
  const [last] = (context.pans[scale]?.weighed ?? []).slice(-1);
  const draw = last && drawOf(context.batch, last.draw);
  const what = draw ? vesselName(plan, draw.on) : 'everything';
  const say = plan.scales[scale]?.keyed
    ? `Last thing: take ${what} off the ${scaleName(scale)}, and type what it shows empty.`
    : `Last thing: lift ${what} off the ${scaleName(scale)}, so that its zero is seen.`;
  return words('place', 'LIFT', say, [
    'It tells whether the zero moved under what was weighed last. Left unseen, the record says so.',
  ]);
}

export function blindWords(draw: PlannedDraw, { context }: WeighingSnapshot): Words {
  const pan = panNow(context);
  const scale = scaleName(draw.scale);
  const safe = ['Stop pouring. What is recorded is safe, and what is in the vessel is worked out again.'];
  if (pan.state === 'trouble' && pan.trouble !== null) {
    return words('blind', 'STOP', troubleInWords(draw.scale, pan.trouble), safe);
  }
  return words('blind', 'NO SCALE', pan.say ?? `The ${scale} says nothing. Is it switched on, is the cable in?`, safe);
}
