/**
 * Where a batch stands, for who comes back to it after a stop or an hour: how far it is, what is on which pan, what has
 * drifted meanwhile, and how it goes on.
 */
import { drawOf } from '../../facts/apply.ts';
import { minus, size } from '../../mass/mass.ts';
import { ownScales, type PlannedDraw } from '../../plan/model.ts';
import {
  baseNow,
  burstOf,
  drawNow,
  drawStateNow,
  netNow,
  panOf,
  standing,
  stepNow,
  wantedNow,
} from '../../weighing/look.ts';
import type { WeighingSnapshot } from '../../weighing/station.ts';
import { vesselOn } from '../../weighing/whatStands.ts';
import { gramsOn, placeOf, scaleName, sizeOn, vesselName } from './names.ts';

/** The lines of it, the most urgent first. */
export function recapLines(snapshot: WeighingSnapshot): readonly string[] {
  return [progressLine(snapshot), ...driftLines(snapshot), pansLine(snapshot)].filter((line) => line !== '');
}

/** `Draw 3 of 22, Glycerin: 41.2 g is in, 14.5 g to go.` */
function progressLine(snapshot: WeighingSnapshot): string {
  const scene = snapshot.context;
  const { batch } = scene;
  const step = stepNow(scene);
  if (step) {
    const burst = burstOf(scene);
    const of = step.times === null ? '' : ` of at most ${step.times}`;
    const begun = step.forMs !== null && burst > 0 ? `: burst ${burst}${of} was begun` : ' comes next';
    if (step.step === 'jar') return 'The jar is weighed next.';
    return step.step === 'sum' ? 'The sum check comes next.' : `Step "${step.step}"${begun}.`;
  }
  const draw = drawNow(scene);
  if (!draw) return '';
  return `Draw ${placeOf(batch, draw)}, ${drawOf(batch, draw.id)?.name ?? draw.id}: ${howFar(draw, snapshot)}.`;
}

function howFar(draw: PlannedDraw, { context: scene }: WeighingSnapshot): string {
  const { plan } = scene.batch;
  const amount = (of: Parameters<typeof sizeOn>[2]) => sizeOn(plan, draw.scale, of);
  const state = drawStateNow(scene);
  if (state?.status === 'weighed' && state.net != null) {
    return `${amount(state.net)} weighed, not yet tipped into ${vesselName(plan, draw.vessel)}`;
  }
  if (baseNow(scene) === null) return 'nothing is in yet';
  const net = netNow(scene);
  const band = wantedNow(scene);
  if (net === null || band === null) return `begun; what is in shows once ${vesselName(plan, draw.on)} is back`;
  const is = draw.way === 'subtract' ? 'taken' : 'in';
  const left = minus(band.target, net);
  return `${gramsOn(plan, draw.scale, net)} ${is}, ${amount(left)} ${left < 0 ? 'over' : 'to go'}`;
}

/** `On the bench scale: Mixing bowl, steel (412.5 g). On the fine scale: nothing.` */
function pansLine({ context: scene }: WeighingSnapshot): string {
  const { plan } = scene.batch;
  const scales = Object.values(ownScales(plan)).filter(({ keyed }) => !keyed);
  return scales.map(({ id }) => `On the ${scaleName(id)}: ${whatIsOn(id)}.`).join(' ');

  function whatIsOn(scale: string): string {
    const pan = panOf(scene, scale);
    if (pan.state === 'empty') return 'nothing';
    if (pan.state === 'silent' || pan.state === 'trouble') return 'not known, it can not be read';
    if (pan.state === 'moving') return 'still moving';
    if (pan.state === 'unknown') return 'not known yet';
    if (!pan.zeroKnown) return 'not sure, lift it to see';
    const there = vesselOn(scene, scale);
    const weighs = gramsOn(plan, scale, pan.load);
    return there === undefined ? `${weighs} of something` : `${vesselName(plan, there)} (${weighs})`;
  }
}

/** Zeros that have moved by more than an interval, as the empty pan showed. */
function driftLines({ context: scene }: WeighingSnapshot): readonly string[] {
  const { plan } = scene.batch;
  return Object.values(ownScales(plan)).flatMap(({ id, d }) => {
    const { zeroShift } = panOf(scene, id);
    return size(zeroShift) > d ? [`The ${scaleName(id)}'s zero has moved by ${sizeOn(plan, id, zeroShift)}.`] : [];
  });
}

/** What Enter leads to, for who has stopped: `Then put Mixing bowl, steel back on the bench scale.` */
export function goesOnWith({ context: scene }: WeighingSnapshot): string {
  const { plan } = scene.batch;
  const step = stepNow(scene);
  if (step?.step === 'jar') return 'Then the jar is weighed.';
  if (step) return step.step === 'sum' ? 'Then the sum check.' : `Then: ${step.say}`;
  const draw = drawNow(scene);
  if (!draw) return '';
  const state = drawStateNow(scene);
  const on = vesselName(plan, draw.on);
  if (state?.status === 'weighed') return `Then tip ${on} into ${vesselName(plan, draw.vessel)}.`;
  if (standing(scene) === 'right' && baseNow(scene) !== null) {
    return draw.way === 'subtract' ? `Then take out of ${on}.` : `Then pour into ${on}.`;
  }
  return `Then put ${on} ${baseNow(scene) === null ? '' : 'back '}on the ${scaleName(draw.scale)}.`;
}
