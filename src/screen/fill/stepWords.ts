/** The words for work between draws: what to do, and how the pans tell that it begins and is done. */
import { wantedInWords } from '../../plan/inWords.ts';
import { burstOf, stepNow } from '../../weighing/look.ts';
import type { WeighingSnapshot } from '../../weighing/station.ts';
import { backNow, drawAfterStep, isInHand, movesContent, stepVessel, tapScale } from '../../weighing/stepPans.ts';
import type { Mood } from '../view.ts';
import { scaleName, sizeOn, vesselName } from './names.ts';

interface StepWords {
  readonly mood: Mood;
  readonly headline: string;
  readonly say: string;
  readonly detail: readonly string[];
}

export function stepWords(snapshot: WeighingSnapshot): StepWords {
  const step = stepNow(snapshot.context);
  if (!step) return { mood: 'step', headline: 'STEP', say: 'Go on.', detail: [] };
  const back = backNow(snapshot.context);
  if (back?.what === 'emptied') {
    const { plan } = snapshot.context.batch;
    const stuck = `${sizeOn(plan, back.scale, back.residue)} stuck to ${vesselName(plan, back.vessel)}`;
    return { mood: 'step', headline: 'READY', say: `${stuck}. Hands off: it is written down.`, detail: [step.say] };
  }
  const isRung = snapshot.matches({ step: 'rung' });
  if (back !== null && (isRung || (step.forMs === null && !movesContent(step)))) {
    return { mood: 'step', headline: 'READY', say: readyLine(snapshot, back.what), detail: [step.say] };
  }
  const until = step.until === null ? [] : [`Until: ${step.until}.`];
  const measure = step.measure === undefined ? [] : [`Measure ${wantedInWords(step.measure)}; then bismar note.`];
  const burst = burstOf(snapshot.context);
  const count = step.times === null || burst === 0 ? [] : [`Burst ${burst} of at most ${step.times}.`];
  const how = snapshot.matches({ step: 'running' }) ? [] : [handsFree(snapshot, isRung)];
  return {
    mood: 'step',
    headline: isRung ? 'TIME' : step.step.toUpperCase(),
    say: isRung ? `Time is up. ${step.say}` : step.say,
    detail: [[...until, ...measure, ...count].join(' '), ...how].filter((line) => line !== ''),
  };
}

/** What was put on is seen: it has to stand a moment yet. */
function readyLine({ context: scene }: WeighingSnapshot, what: 'vessel' | 'next' | 'emptied'): string {
  const vessel = what === 'next' ? drawAfterStep(scene)?.on : stepVessel(scene);
  const named = vessel === undefined ? 'It' : vesselName(scene.batch.plan, vessel);
  return `${named} is seen: the step is done. Hands off, it goes on by itself.`;
}

/** How it goes on without a key. */
function handsFree(snapshot: WeighingSnapshot, isRung: boolean): string {
  const scene = snapshot.context;
  const { plan } = scene.batch;
  const step = stepNow(scene);
  if (!step) return '';
  if (movesContent(step))
    return `Then put ${vesselName(plan, step.vessel)} back on a scale: what stuck to it is weighed.`;
  const vessel = stepVessel(scene);
  const named = vessel === undefined ? undefined : vesselName(plan, vessel);
  if (step.forMs !== null && !isRung) {
    return named === undefined || isInHand(scene) ? '' : `Lift ${named} off: the clock starts.`;
  }
  const next = drawAfterStep(scene);
  const tap = tapScale(scene);
  const more = step.times !== null && burstOf(scene) < step.times;
  const put = next
    ? `Done? Put ${vesselName(plan, next.on)} on the ${scaleName(next.scale)}`
    : named === undefined
      ? ''
      : `Done? Put ${named} on a scale`;
  const tapping =
    tap === undefined ? '' : more ? `Once more? Tap the empty ${scaleName(tap)}` : `or tap the empty ${scaleName(tap)}`;
  return [put, tapping]
    .filter((part) => part !== '')
    .join(more ? '. ' : ', ')
    .concat('.');
}
