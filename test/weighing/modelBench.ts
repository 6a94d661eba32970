/**
 * The weighing chart as a model to be walked through by generated paths: what can happen in a state, and which states
 * count as the same. Weights are chosen so that each rule of the chart has one on either side of it.
 */
import { fromPromise } from 'xstate';
import { drawOf } from '../../src/facts/apply.ts';
import type { Fact, Happened } from '../../src/facts/fact.ts';
import type { ToldFact } from '../../src/facts/handOverFacts.ts';
import { wanted } from '../../src/facts/wanted.ts';
import { type Mass, mass, minus, plus, ZERO } from '../../src/mass/mass.ts';
import type { PlannedDraw } from '../../src/plan/model.ts';
import type { Rescue } from '../../src/rescue/model.ts';
import { weighingChart } from '../../src/weighing/chart.ts';
import { type Answer, panEvent, type WeighingEvent } from '../../src/weighing/events.ts';
import { NO_RESCUE, type RescueAsked } from '../../src/weighing/findRescue.ts';
import { returned } from '../../src/weighing/happened.ts';
import { jarNow } from '../../src/weighing/jarNow.ts';
import {
  drawNow,
  drawStateNow,
  expectedLoad,
  netNow,
  panNow,
  panOf,
  residueNow,
  scaleOf,
  standing,
  stepNow,
  verdictNow,
} from '../../src/weighing/look.ts';
import type { RecordInput } from '../../src/weighing/record.ts';
import { rescueNow } from '../../src/weighing/rescueNow.ts';
import { backNow, drawAfterStep, isInHand, stepVessel } from '../../src/weighing/stepPans.ts';
import { sumNow } from '../../src/weighing/sumNow.ts';
import { isPutBack, undoableNow } from '../../src/weighing/undoing.ts';
import {
  abandon,
  again,
  full,
  giveUp,
  keep,
  lotEnded,
  otherLot,
  type Snapshot,
  seen,
  stateName,
  stop,
  undo,
  yes,
} from './chartRig.ts';
import { aPlan, BATCH, dye, g, rareTasks, sealed, weighing } from './samplePlan.ts';
import { aRescue } from './sampleRescue.ts';

/** The chart, but what is to be written is answered by events of the model alone. */
export const machine = weighingChart.provide({
  actors: {
    record: fromPromise<readonly Fact[], RecordInput>(() => new Promise(() => {})),
    findRescue: fromPromise<Rescue, RescueAsked>(() => new Promise(() => {})),
  },
});

export interface ModelEvent {
  readonly type: string;
}

export const WRITTEN = 'xstate.done.actor.0.weighing.recording';
const FOUND = 'xstate.done.actor.0.weighing.hold.searching';
const NOT_FOUND = 'xstate.error.actor.0.weighing.hold.searching';
const NOT_WRITTEN = 'xstate.error.actor.0.weighing.recording';
export const RINGS = 'xstate.after.burst.weighing.step.running';

const answers: readonly Answer[] = [yes, stop, keep('it can not be taken out'), giveUp, lotEnded, again, abandon, undo];

/** Whether this is the plan of what is rare. */
function isRare({ context: { batch } }: Snapshot): boolean {
  return batch.plan.tasks.some((task) => task.kind === 'draw' && task.witness);
}

/** Neither split nor scaled up: one of them is enough, as each makes a batch of its own to be walked through. */
function isAsPlanned(snapshot: Snapshot): boolean {
  const { tasks, mass } = snapshot.context.batch.plan;
  return isRare(snapshot) && tasks.length === rareTasks.length && mass === aPlan().mass;
}

function splits(snapshot: Snapshot): readonly Answer[] {
  return isAsPlanned(snapshot) ? [full, otherLot()] : [];
}

/** What could be done about what is held has been worked out. */
export const found = (output: Rescue): ModelEvent => ({ type: FOUND, output }) as ModelEvent;

/** What is worked out in a hold, and the yes to it. */
function rescues(snapshot: Snapshot): readonly ModelEvent[] {
  const { context } = snapshot;
  if (snapshot.matches({ hold: 'searching' }) && context.rescue) {
    const { batch, rescue } = context;
    const output = isAsPlanned(snapshot) ? aRescue(batch, rescue.held) : NO_RESCUE;
    return [found(output), { type: NOT_FOUND, error: new Error('broken') } as ModelEvent];
  }
  const offers = context.rescue?.found?.offers ?? [];
  return snapshot.matches('hold') ? offers.map((offer): Answer => ({ type: 'answer.rescue', offer })) : [];
}

const colour = sealed([
  { kind: 'batch-started', plan: aPlan([dye]) },
  weighing(dye, g(80), g(0.8)),
  { kind: 'finished' },
]);

/** The colour is weighed at another bench; its beaker comes over. */
export const handedOver: Happened = { kind: 'handed-over', number: 1, phases: ['B'], to: 'dye_room' };
export const partDone: WeighingEvent = {
  type: 'part.done',
  broughtIn: {
    kind: 'brought-in',
    number: 1,
    bench: '0b8e5a4e-3c86-4b8f-9a53-0c6d4a1f7e55',
    role: 'dye_room',
    part: BATCH,
    seal: { seq: 3, hash: '3f9a'.repeat(16) },
    facts: colour as readonly ToldFact[],
  },
};
/** Of a hand-over that this batch does not have. */
const notOurs: WeighingEvent = { ...partDone, broughtIn: { ...partDone.broughtIn, number: 2 } };

/** All that can happen in a state, as far as it makes a difference. */
export function offers(snapshot: Snapshot): readonly ModelEvent[] {
  if (snapshot.status !== 'active') return [];
  const { context } = snapshot;
  if (snapshot.matches('recording')) {
    const output = sealed(context.pending, context.batch.seq);
    return [{ type: WRITTEN, output } as ModelEvent, { type: NOT_WRITTEN, error: new Error('full') } as ModelEvent];
  }
  // A burst of the sample is longer than the moment in which an acceptance can be taken back.
  const rings = snapshot.matches({ step: 'running' }) && !context.undoOpen ? [{ type: RINGS }] : [];
  const over = context.undoOpen ? [{ type: 'undo.over' }] : [];
  const { takenOut } = context.batch;
  const facts = sealed(returned(context, 'jar'), context.batch.seq);
  const noted = isRare(snapshot) && takenOut !== null ? [{ type: 'fact.noted', facts } as ModelEvent] : [];
  return [
    ...answers,
    ...splits(snapshot),
    ...rescues(snapshot),
    ...(snapshot.matches('witnessing') ? [seen()] : []),
    ...rings,
    ...over,
    ...noted,
    ...(snapshot.matches('elsewhere') ? [partDone, notOurs] : []),
    ...(isAtStep(snapshot) ? aroundStep(snapshot) : onPan(snapshot)),
  ];
}

function isAtStep(snapshot: Snapshot): boolean {
  return snapshot.matches('step') || snapshot.matches('summing') || snapshot.matches('jar');
}

/** What may happen on the bench scale while work between draws is done. */
function aroundStep({ context: scene }: Snapshot): readonly WeighingEvent[] {
  const scale = 'bench';
  const pan = panOf(scene, scale);
  const tell = { scale, at: 0 };
  const level = (load: Mass) => ({ ...tell, load, gross: plus(load, pan.zero), zeroKnown: true, doubted: false });
  const vessel = stepVessel(scene) ?? 'bowl';
  const known = scene.batch.vessels[vessel];
  const tare = scene.batch.plan.vessels[vessel]?.tare ?? ZERO;
  const next = drawAfterStep(scene);
  const loads = [
    known?.empty ?? tare,
    known?.load ?? tare,
    mass(987_600_000),
    ...(stepNow(scene)?.jar ? [mass(982_600_000), mass(950_000_000)] : []),
    minus(known?.load ?? tare, mass(5_000_000)),
    ...(next?.scale === scale ? [expectedLoad(scene, next).load] : []),
  ];
  return [
    ...(pan.state === 'moving' ? [] : [panEvent({ kind: 'moving', ...tell })]),
    ...(pan.state === 'settled' && !pan.dwelt ? [panEvent({ kind: 'dwelt', ...level(pan.load), keyed: false })] : []),
    ...loads.map((load) => panEvent({ kind: 'settled', ...level(load) })),
    panEvent({ kind: 'emptied', ...tell, zero: ZERO }),
    panEvent({ kind: 'emptied', ...tell, zero: ZERO, pressed: mass(30_000_000) }),
    panEvent({ kind: 'emptied', ...tell, zero: ZERO, shift: mass(-900_000) }),
    panEvent({ kind: 'silent', ...tell, say: null }),
  ];
}

/** States in which the chart looks at no pan: there it is enough that something may change meanwhile. */
function looksAway(snapshot: Snapshot): boolean {
  return /^(gathering|givingUp|paused|abandoning|logFailed)/.test(stateName(snapshot));
}

function onPan(snapshot: Snapshot): readonly WeighingEvent[] {
  const scene = snapshot.context;
  const draw = drawNow(scene);
  return [...onItsPan(snapshot, draw), ...(draw ? onLastPan(snapshot, draw) : [])];
}

/** The vessel of the draw accepted last, on another pan than the present draw's: lifted, and put back. */
function onLastPan({ context: scene }: Snapshot, draw: PlannedDraw): readonly WeighingEvent[] {
  const last = undoableNow(scene);
  const done = last?.of === 'weighed' ? drawOf(scene.batch, last.id) : undefined;
  if (!done || done.scale === draw.scale) return [];
  const load = scene.batch.vessels[done.on]?.load ?? ZERO;
  const tell = { scale: done.scale, at: 0 };
  return [
    panEvent({ kind: 'emptied', ...tell, zero: ZERO }),
    panEvent({ kind: 'dwelt', ...tell, load, gross: load, zeroKnown: true, keyed: false }),
  ];
}

function onItsPan(snapshot: Snapshot, draw: PlannedDraw | undefined): readonly WeighingEvent[] {
  const scene = snapshot.context;
  const scale = draw?.scale ?? 'bench';
  const tell = { scale, at: 0 };
  const fresh = panEvent({ kind: 'fresh', ...tell });
  const silent = panEvent({ kind: 'silent', ...tell, say: null });
  const empties = panEvent({ kind: 'emptied', ...tell, zero: ZERO });
  const shifts = panEvent({ kind: 'emptied', ...tell, zero: ZERO, shift: mass(-9 * scaleOf(scene, scale).d) });
  const pan = panOf(scene, scale);
  if (pan.state === 'silent') return [fresh];
  if (pan.state === 'trouble') return [panEvent({ kind: 'trouble-over', ...tell }), silent];
  if (!draw || looksAway(snapshot)) return [silent, empties, shifts];

  const level = (load: Mass, zeroKnown = true, doubted = false) => {
    return { ...tell, load, gross: plus(load, pan.zero), zeroKnown, doubted };
  };
  const moves = pan.state === 'moving' ? [] : [panEvent({ kind: 'moving', ...tell })];
  const dwells =
    pan.state === 'settled' && !pan.dwelt
      ? [
          panEvent({
            kind: 'dwelt',
            ...level(pan.load, pan.zeroKnown, pan.doubted),
            keyed: false,
            unheard: pan.unheard,
          }),
        ]
      : [];
  const loads = levels(snapshot, draw);
  const vessel = drawStateNow(scene)?.base ?? expectedLoad(scene, draw).load;
  return [
    ...moves,
    ...dwells,
    ...loads.map((load) => panEvent({ kind: 'settled', ...level(load) })),
    ...loads.slice(0, 3).map((load) => panEvent({ kind: 'settled', ...level(load, true, true) })),
    ...loads.slice(2, 3).map((load) => panEvent({ kind: 'settled', ...level(load), unheard: true })),
    panEvent({ kind: 'settled', ...level(vessel, false) }),
    panEvent({ kind: 'settled', ...level(plus(vessel, mass(77 * scaleOf(scene, scale).d)), false) }),
    empties,
    shifts,
    silent,
    panEvent({ kind: 'trouble', ...tell, trouble: 'wrong-unit' }),
  ];
}

/** Loads that the pan of a draw may come to rest at. */
function levels({ context: scene }: Snapshot, draw: PlannedDraw): readonly Mass[] {
  const { d, repeatability } = scaleOf(scene, draw.scale);
  const other = Object.values(scene.batch.plan.vessels).find(({ id }) => id !== draw.on && id !== 'bowl');
  const others = [other?.tare ?? ZERO];
  const state = drawStateNow(scene);
  const base = state?.base ?? null;
  if (base === null) {
    const { load, within } = expectedLoad(scene, draw);
    const crept = plus(load, mass(4 * d + 4 * (repeatability ?? 0)));
    return [load, crept, plus(load, within, mass(50 * d)), ...others];
  }
  if (state?.status === 'weighed') {
    const net = state.net ?? ZERO;
    return [net, mass(net * 0.3), mass(2 * d), mass(-40 * d)].map((left) => onGrid(plus(base, left), d));
  }
  const { low, target, high } = wanted(scene.batch, draw);
  const { peak } = state ?? {};
  const more = peak == null ? high : peak;
  // The further over first: from there on there is a lesser one that is still too much.
  const over = [plus(more, mass(3 * d)), plus(high, d), mass(high * 3)];
  const nets = [ZERO, mass(low / 2), target, ...over, mass(-200 * d)];
  const loads = nets.map((net) => onGrid(draw.way === 'subtract' ? minus(base, net) : plus(base, net), d));
  return [...loads, ...others];
}

function onGrid(load: Mass, d: Mass): Mass {
  return mass(Math.round(load / d) * d);
}

/** What makes two states of the chart the same: everything but the weights and counts themselves. */
export function nameOf(snapshot: Snapshot): string {
  const { context } = snapshot;
  const { batch } = context;
  const draw = drawNow(context);
  const state = drawStateNow(context);
  const pan = panNow(context);
  return [
    stateName(snapshot),
    draw?.id ?? stepNow(context)?.id ?? 'none',
    Object.values(batch.draws)
      .map(({ status }) => status[0])
      .join(''),
    Object.entries(batch.steps).map(([id, { bursts, done }]) => `${id}${done ? 'x' : bursts}`),
    batch.ended,
    batch.handOvers.map(({ stands }) => stands),
    Object.keys(batch.jars),
    state && `${state.base !== null} ${state.peak !== null} ${state.lotEnded}`,
    looksAway(snapshot) ? pan.state : panName(snapshot),
    context.lostScale,
    Object.values(context.pans).map(({ weighed, shifts }) => `${weighed.length > 0} ${shifts.length}`),
    undoableNow(context)?.id,
    context.justUndone,
    isRare(snapshot) && [batch.plan.mass > aPlan().mass, batch.takenOut !== null],
    isRare(snapshot) && snapshot.matches('hold') && rescueName(snapshot),
    undoableNow(context) && [isPutBack(context), context.undoCleared],
    isAtStep(snapshot) && stepName(snapshot),
    /^(recording|logFailed|givingUp)/.test(stateName(snapshot)) && context.pending.map(briefly),
  ].join('|');
}

function rescueName({ context }: Snapshot): string {
  const { rescue } = context;
  return `${rescue !== null} ${rescue?.found?.offers.length} ${rescueNow(context)?.offers.length}`;
}

function panName({ context }: Snapshot): string {
  const { state, zeroKnown, dwelt, doubted, unheard, toEmpty } = panNow(context);
  const isSomething = (netNow(context) ?? 0) > 0;
  const isBack = residueNow(context) !== null;
  return [
    state,
    zeroKnown,
    dwelt,
    doubted,
    unheard,
    toEmpty,
    standing(context),
    verdictNow(context),
    isSomething,
    isBack,
  ].join();
}

function stepName({ context }: Snapshot): string {
  const { state, dwelt, tapped } = panOf(context, 'bench');
  const back = backNow(context)?.what;
  return [
    state,
    dwelt,
    tapped,
    back,
    sumNow(context)?.isRight,
    jarNow(context)?.isRight,
    isInHand(context),
    context.stepSeen.cleared,
  ].join();
}

function briefly(happened: Happened): string {
  return 'deviation' in happened && happened.deviation ? `${happened.kind}!` : happened.kind;
}
