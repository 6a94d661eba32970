/**
 * A picture of each state that the weighing chart can rest in, and of what makes a difference in it: walks of the real
 * chart over a small batch with names as long as those of our own scenario.
 */
import type { Happened } from '../../src/facts/fact.ts';
import type { ToldFact } from '../../src/facts/handOverFacts.ts';
import { minus, plus } from '../../src/mass/mass.ts';
import type { Plan, PlannedDraw, PlannedStep, Task } from '../../src/plan/model.ts';
import type { Others } from '../../src/screen/fill/elsewhereWords.ts';
import { liveViewOf } from '../../src/screen/fill/live.ts';
import type { LiveView } from '../../src/screen/view.ts';
import type { WeighingEvent } from '../../src/weighing/events.ts';
import { baseNow, drawNow, panOf } from '../../src/weighing/look.ts';
import { NOTHING_TOLD } from '../../src/weighing/pourWatch.ts';
import type { Live } from '../../src/weighing/station.ts';
import {
  abandon,
  type FindRescue,
  giveUp,
  lotEnded,
  pan,
  type Rig,
  type Snapshot,
  startChart,
  stop,
  undo,
  yes,
} from '../weighing/chartRig.ts';
import {
  aDraw,
  aPlan,
  aStep,
  BATCH,
  combine,
  dye,
  fine,
  g,
  melt,
  oil,
  placing,
  sealed,
  seenDye,
  weighing,
  withJar,
} from '../weighing/samplePlan.ts';
import { aRescue } from '../weighing/sampleRescue.ts';

const VESSELS: Readonly<Record<string, string>> = {
  bowl: 'Mixing bowl, steel',
  beaker: 'Liquids beaker, glass',
  cup: 'Dosing cup, glass',
  jar: 'Blue dye jar',
};

const powder = aDraw('A1', {
  name: 'Sulfoacetate powder',
  lot: 'SA-88',
  cautions: ['Surfactant dust: put your mask on before the tub is opened, and follow the supplier safety data sheet.'],
  note: 'Each powder its own heap.',
  otherLots: [
    { id: 'SA-91', onHand: g(900) },
    { id: 'SA-95', onHand: g(400) },
  ],
});
const starch = aDraw('A2', { name: 'Cetearyl alcohol, flakes', lot: 'CA-2207' });
const blue = { ...dye, name: 'Blue dye powder', lot: 'BD-7' };
const lavender = { ...oil, name: 'Lavender oil', lot: 'LV-6', note: 'Below 45 C only.' };
const melting: PlannedStep = {
  ...melt,
  say: 'Melt in bursts of 30 s, stirring in between.',
  until: 'all is clear, 72 C',
  cautions: ['The jug is hot: gloves, and both hands. Steam can scald.'],
};
const mixing = aStep('A3', 'mix', { vessel: 'bowl', say: 'Mix low, scrape down, then mix for a minute on high.' });
const emptying = { ...combine, say: 'Scrape the liquids beaker out into the mixing bowl, and knead until even.' };
const rinsing = aStep('B2', 'rinse', {
  vessel: 'beaker',
  into: 'bowl',
  say: 'Rinse the liquids beaker with a little of the water, into the bowl.',
});
const sum = aStep('A/sum', 'sum', { vessel: 'bowl', say: 'Sum check of A dry' });

export interface Picture {
  readonly state: string;
  readonly tasks: readonly Task[];
  readonly log: readonly Happened[];
  readonly events?: readonly WeighingEvent[];
  /** What the hold's search finds; without it nothing is looked for. */
  readonly find?: FindRescue;
  /** The log fails from here on with this sentence. */
  readonly failure?: string;
  /** The batch was left, and is taken up again here. */
  readonly takenUp?: true;
  /** How far other benches are. */
  readonly others?: readonly string[];
  readonly gone?: Others['gone'];
  readonly stuck?: Others['stuck'];
  /** Keys that turn to pages of answers. */
  readonly keys?: string;
}

const gathered: Happened = { kind: 'gathered' };
const batch: readonly Task[] = [powder, starch, melting, sum, blue, emptying, lavender];
const puts = (scale: 'bench' | 'fine', grams: number): readonly WeighingEvent[] => [
  pan.moves(scale),
  pan.settles(scale, grams),
  pan.dwells(scale, grams),
];
const comesTo = (scale: 'bench' | 'fine', grams: number): readonly WeighingEvent[] => [
  pan.moves(scale),
  pan.settles(scale, grams),
];

/** The powder's bowl stands on the bench scale, and so much is in. */
const poured = (net: number, ...more: readonly WeighingEvent[]) => ({
  tasks: batch,
  log: [gathered, placing(powder, g(300))],
  events: [
    pan.empties('fine'),
    pan.empties('bench'),
    ...comesTo('bench', 300),
    ...(net ? comesTo('bench', 300 + net) : []),
    ...more,
  ],
});
const taken = (net: number, draw: PlannedDraw = blue, ...more: readonly WeighingEvent[]) => ({
  tasks: [draw, emptying, lavender],
  log: [gathered, placing(draw, g(80))],
  events: [pan.empties('bench'), pan.empties('fine'), ...comesTo('fine', 80), ...comesTo('fine', 80 - net), ...more],
});
const inCup = (net: number, ...more: readonly WeighingEvent[]) => ({
  tasks: [lavender, mixing],
  log: [gathered, placing(lavender, g(30))],
  events: [pan.empties('bench'), pan.empties('fine'), ...comesTo('fine', 30), ...comesTo('fine', 30 + net), ...more],
});
const cupFull = (...more: readonly WeighingEvent[]) => ({
  tasks: [lavender, mixing],
  log: [gathered, placing(lavender, g(30)), weighing(lavender, g(30), g(5))],
  events: [...comesTo('fine', 35), pan.empties('fine'), ...more],
});
const powderIn = [gathered, placing(powder, g(300)), weighing(powder, g(300), g(100))];
const step = (tasks: readonly Task[], log: readonly Happened[] = [], ...events: readonly WeighingEvent[]) => ({
  tasks: [powder, ...tasks],
  log: [...powderIn, ...log],
  events,
});
/** The powder has just been accepted, and its bowl stands where it was weighed. */
const standing = (tasks: readonly Task[]) => ({
  tasks: [powder, ...tasks],
  log: [gathered, placing(powder, g(300))],
  events: [pan.empties('fine'), pan.empties('bench'), ...comesTo('bench', 300), ...puts('bench', 400.5)],
});
const burst: Happened = { kind: 'step-begun', step: 'A3', burst: 1 };
const dyeIn = [...powderIn, placing(blue, g(80)), weighing(blue, g(80), g(0.8))];
const moving = (of: PlannedStep, ...events: readonly WeighingEvent[]) => ({
  tasks: [powder, blue, of, lavender],
  log: dyeIn,
  events,
});
const summed = (...events: readonly WeighingEvent[]) => ({ tasks: [powder, sum, lavender], log: powderIn, events });
const putsAnew = (grams: number) => [pan.moves('fine'), pan.empties('fine'), ...puts('fine', grams)];
/** The jar of 120 g is weighed, 5 g drawn by the cup and tipped. */
const jarDrawn = (...events: readonly WeighingEvent[]) => ({
  tasks: withJar(lavender),
  log: [gathered],
  events: [pan.empties('fine'), ...putsAnew(120), ...putsAnew(30), ...puts('fine', 35), ...putsAnew(30.02), ...events],
});
const found: FindRescue = async ({ batch: now, held }) => {
  if (held === null) throw new Error('nothing is held');
  return aRescue(now, held);
};

/** The colour is weighed at another bench, and all that can be done without it is done. */
const handed: Happened = { kind: 'handed-over', number: 1, phases: ['B'], to: 'dye_room' };
const atDyeRoom = { tasks: [powder, blue, emptying], log: [handed, ...powderIn], events: [pan.empties('bench')] };

const theirs = sealed([
  { kind: 'batch-started', plan: aPlan([blue]) },
  weighing(blue, g(80), g(0.74)),
  { kind: 'finished' },
]);
const broughtIn: Happened = {
  kind: 'brought-in',
  number: 1,
  bench: '0b8e5a4e-3c86-4b8f-9a53-0c6d4a1f7e55',
  role: 'dye_room',
  part: BATCH,
  seal: { seq: 3, hash: '3f9a'.repeat(16) },
  facts: theirs as readonly ToldFact[],
};
const cameOver = {
  tasks: [powder, blue, { ...lavender, vessel: 'beaker' }],
  log: [...atDyeRoom.log, broughtIn],
  events: [pan.empties('bench')],
};

/** Weighed here for another bench, and stopped as that has changed its mind. */
const seal = { seq: 3, hash: '3f9a'.repeat(16) };
const joined: Happened = {
  kind: 'joined',
  bench: '5b0f6c1e-7a52-4f0c-8f3e-6f1f2a9d4c10',
  role: 'wet_room',
  of: BATCH,
  number: 1,
  seal,
};
const ofWetRoom = {
  tasks: batch,
  log: [joined, { kind: 'join-confirmed' }, gathered] satisfies Happened[],
  events: [pan.empties('bench'), ...comesTo('bench', 300), stop],
};

export const PICTURES: Readonly<Record<string, Picture>> = {
  gathering: { state: 'gathering', tasks: batch, log: [] },
  'placing the first vessel': { state: 'placing', tasks: batch, log: [gathered], events: [pan.empties('bench')] },
  'placing, the scale has said nothing yet': { state: 'placing', tasks: batch, log: [gathered] },
  'placing, its weight is being read': {
    state: 'placing',
    tasks: batch,
    log: [gathered],
    events: [pan.empties('bench'), ...comesTo('bench', 300)],
  },
  'placing, another vessel is there': {
    state: 'placing',
    tasks: batch,
    log: [gathered],
    events: [pan.empties('bench'), ...comesTo('bench', 150)],
  },
  'placing, something unknown is there': {
    state: 'placing',
    tasks: batch,
    log: [gathered],
    events: [pan.empties('bench'), ...comesTo('bench', 337.2)],
  },
  'placing, a little was left on the pan': {
    state: 'placing',
    ...poured(50),
    events: [...poured(50).events, pan.empties('bench'), ...comesTo('bench', 3.2)],
  },
  'placing, put back in mid-draw': { state: 'placing', ...poured(50, pan.moves('bench'), pan.empties('bench')) },
  'placing, no zero known': {
    state: 'placing',
    tasks: batch,
    log: [gathered],
    events: [pan.settles('bench', 212, false)],
  },
  'placing, onto the other scale': {
    state: 'placing',
    tasks: [blue, emptying],
    log: [gathered],
    events: [pan.empties('bench'), pan.empties('fine'), ...comesTo('bench', 80)],
  },
  'placing, the vessel has to be emptied': { state: 'placing', ...poured(150, giveUp, yes) },
  'placing, the last can be undone': {
    state: 'placing',
    tasks: [powder, blue, lavender],
    log: [gathered, placing(powder, g(300))],
    events: [pan.empties('fine'), pan.empties('bench'), ...comesTo('bench', 300), ...puts('bench', 400.5)],
  },
  'pouring, below the band': { state: 'pouring.under', ...poured(62.4) },
  'pouring, nothing in yet': { state: 'pouring.under', ...poured(0) },
  'pouring, it moves': { state: 'pouring.moving', ...poured(62.4, pan.moves('bench')) },
  'pouring, in the band': { state: 'pouring.inBand', ...poured(100.5) },
  'pouring, into the cup': { state: 'pouring.under', ...inCup(3.1) },
  'pouring, out of the jar': { state: 'pouring.under', ...taken(0.31) },
  'pouring, out of the jar, in the band': { state: 'pouring.inBand', ...taken(0.8) },
  'pouring, the number is doubted': {
    state: 'pouring.under',
    ...poured(62.4, pan.moves('bench'), { ...pan.settles('bench', 370), doubted: true } as WeighingEvent),
  },
  'hold in the bowl': { state: 'hold.open', ...poured(105) },
  'hold in the bowl, being worked out': { state: 'hold.searching', ...poured(105), find: () => new Promise(() => {}) },
  'hold in the bowl, with a larger batch': { state: 'hold.open', ...poured(105), find: found },
  'hold in the bowl, its sizes': { state: 'hold.open', ...poured(105), find: found, keys: 's' },
  'hold in the bowl, one size': { state: 'hold.open', ...poured(105), find: found, keys: 's1' },
  'hold in the bowl, the reasons': { state: 'hold.open', ...poured(105), find: found, keys: 'k' },
  'hold in the cup, never over': { state: 'hold.open', ...inCup(5.4) },
  'hold at the jar': { state: 'hold.open', ...taken(0.87) },
  'short, with other lots': { state: 'short', ...poured(50, lotEnded) },
  'short, without': { state: 'short', ...inCup(3.1, lotEnded) },
  'giving up the bowl': { state: 'givingUp', ...poured(105, giveUp) },
  'giving up the cup': { state: 'givingUp', ...inCup(5.4, giveUp) },
  'tipping, full': { state: 'tipping.waiting', ...cupFull() },
  'tipping, clean': { state: 'tipping.clean', ...cupFull(...comesTo('fine', 30.05)) },
  'tipping, too much clings': { state: 'tipping.clinging', ...cupFull(...comesTo('fine', 30.9)) },
  'step, the vessel has to be lifted': { state: 'step.ready', ...standing([melting, lavender]) },
  'step, nothing known of the pans': { state: 'step.ready', ...step([melting, lavender]) },
  'step without a time, a draw follows': {
    state: 'step.ready',
    ...standing([mixing, lavender]),
  },
  'step without a time, the last': { state: 'step.ready', ...standing([mixing]) },
  'step, the clock runs': { state: 'step.running', ...step([melting, lavender], [burst], pan.empties('bench')) },
  'step, time is up, once more': {
    state: 'step.rung',
    ...step([melting, lavender], [burst], pan.empties('bench'), yes),
  },
  'step, time is up, the last burst': {
    state: 'step.rung',
    ...step([melting, lavender], [burst, { kind: 'step-begun', step: 'A3', burst: 2 }], pan.empties('bench'), yes),
  },
  'step, its vessel is back': {
    state: 'step.rung',
    ...step([melting, lavender], [burst], pan.empties('bench'), yes, ...comesTo('bench', 400)),
  },
  'combine, to be emptied': { state: 'step.ready', ...moving(emptying) },
  'combine, back on the scale': {
    state: 'step.ready',
    ...moving(emptying, pan.empties('bench'), ...comesTo('bench', 150.1)),
  },
  rinse: { state: 'step.ready', ...moving(rinsing) },
  'sum check': { state: 'summing.waiting', ...summed(pan.empties('bench')) },
  'sum check, off': { state: 'summing.off', ...summed(pan.empties('bench'), ...puts('bench', 387.2)) },
  'double entry, before': {
    state: 'jar.waiting',
    tasks: withJar(lavender),
    log: [gathered],
    events: [pan.empties('fine')],
  },
  'double entry, after': { state: 'jar.waiting', ...jarDrawn() },
  'double entry, off': { state: 'jar.off', ...jarDrawn(...putsAnew(114.2)) },
  'elsewhere, the other bench weighs': {
    state: 'elsewhere',
    ...atDyeRoom,
    others: ['dye_room, phase B: 1 of 2 weighed, last Blue dye powder 0.74 g.'],
  },
  'elsewhere, it was given up there': {
    state: 'elsewhere',
    ...atDyeRoom,
    others: ['dye_room, phase B: given up there. Leave with q; bismar hand-over B --back.'],
    stuck: [{ phases: ['B'], to: 'dye_room' }],
  },
  'elsewhere, the batch of this part has ended': { state: 'paused', ...ofWetRoom, gone: 'ended' },
  'elsewhere, this part was taken back': { state: 'paused', ...ofWetRoom, gone: 'taken-back' },
  'elsewhere, a line at the foot': {
    state: 'placing',
    tasks: [powder, starch, blue, emptying],
    log: [handed, gathered],
    events: [pan.empties('bench')],
    others: ['dye_room, phase B: 1 of 2 weighed, last Blue dye powder 0.74 g.'],
  },
  'elsewhere, to be weighed there again': {
    state: 'elsewhere',
    tasks: [powder, { ...blue, scale: 'dye_room/fine' }, emptying],
    log: [handed, ...powderIn, { kind: 'called-back', number: 1, reason: 'a trial' }],
  },
  'elsewhere, it has come over': { state: 'summing.waiting', ...cameOver },
  'elsewhere, it fell on the way': {
    state: 'givingUp',
    ...cameOver,
    events: [...cameOver.events, stop, giveUp],
  },
  'blind, silent': { state: 'blind', ...poured(62.4, pan.isSilent('bench')) },
  'blind, another unit': { state: 'blind', ...poured(62.4, pan.isInTrouble('bench')) },
  'paused in mid-draw': { state: 'paused', ...poured(62.4, stop) },
  'paused, the zero has moved': {
    state: 'paused',
    tasks: batch,
    log: [gathered, placing(powder, g(300))],
    events: [pan.empties('bench'), ...comesTo('bench', 362.4), stop, pan.moves('bench'), pan.emptiesBy('bench', 0.6)],
  },
  'paused, a cup is to be tipped': { state: 'paused', ...cupFull(stop) },
  'taken up again in mid-draw': {
    state: 'placing',
    tasks: batch,
    log: [gathered, placing(powder, g(300))],
    events: [pan.empties('bench'), pan.empties('fine'), ...comesTo('fine', 30)],
    takenUp: true,
  },
  'taken up again, the scale was switched off': {
    state: 'placing',
    tasks: batch,
    log: [gathered, placing(powder, g(300))],
    events: [pan.empties('fine'), pan.settles('bench', 62.4, false)],
    takenUp: true,
  },
  'taken up again at a step': {
    state: 'step.ready',
    ...step([melting, lavender]),
    takenUp: true,
  },
  'paused at a step': { state: 'paused', ...step([melting, lavender], [burst], pan.empties('bench'), stop) },
  'paused after an undo': {
    state: 'paused',
    tasks: [powder, blue, lavender],
    log: [gathered, placing(powder, g(300))],
    events: [pan.empties('fine'), pan.empties('bench'), ...comesTo('bench', 300), ...puts('bench', 400.5), undo],
  },
  'last look': {
    state: 'lastLook',
    tasks: [powder],
    log: [gathered],
    events: [pan.empties('fine'), pan.empties('bench'), ...puts('bench', 300), ...puts('bench', 400.5)],
  },
  abandoning: { state: 'abandoning', ...poured(62.4, stop, abandon) },
  witnessing: {
    state: 'witnessing',
    ...taken(0.8, { ...seenDye, name: blue.name, lot: blue.lot }, pan.dwells('fine', 79.2)),
  },
  'log not written': { state: 'logFailed', ...poured(0), failure: 'The disk is full (12 kB left on it).' },
  'ended, finished': { state: 'ended', tasks: [powder], log: [...powderIn, { kind: 'finished' }] },
  'ended, unfinished': {
    state: 'ended',
    tasks: [powder, lavender, mixing], // what would have come is not told any more
    log: [...powderIn, { kind: 'abandoned', reason: 'the mixer broke' }],
  },
};

/** The plan of a picture. */
function planOf(tasks: readonly Task[]): Plan {
  const plain = aPlan(tasks as Plan['tasks']);
  const vessels = Object.fromEntries(
    Object.entries(plain.vessels).map(([id, vessel]) => [id, { ...vessel, name: VESSELS[id] ?? vessel.name }]),
  );
  return {
    ...plain,
    vessels,
    scales: { ...plain.scales, 'dye_room/fine': { ...fine, id: 'dye_room/fine', bench: 'dye_room' } },
    formula: { ...plain.formula, name: 'Cornflower & oat cleansing bar', version: '3' },
    people: ['Someone', 'Edda Brook', 'Jonas Hale'],
  };
}

/** Walks there. */
export async function walkThere({ tasks, log, events = [], find, failure }: Picture): Promise<Rig> {
  const rig = await startChart(log, planOf(tasks), find);
  await rig.tell(...events);
  if (failure !== undefined) {
    rig.failWith(failure);
    await rig.tell(...comesTo('bench', 400.5), pan.dwells('bench', 400.5));
  }
  return rig;
}

/** The live numbers that a signal would show where a pan of the chart stands as it does. */
export function liveOf(snapshot: Snapshot): LiveView {
  const scene = snapshot.context;
  const draw = drawNow(scene);
  const base = baseNow(scene);
  return liveViewOf(snapshot, {
    live: (scale): Live => {
      const { state, load, zero, zeroKnown, trouble } = panOf(scene, scale);
      const fresh = state === 'moving' || state === 'settled' || state === 'empty';
      const isHere = draw?.scale === scale && base !== null;
      return {
        scale,
        gross: fresh ? plus(load, zero) : undefined,
        load: fresh ? load : undefined,
        zeroKnown,
        net: isHere && fresh ? (draw.way === 'subtract' ? minus(base, load) : minus(load, base)) : undefined,
        fresh,
        settled: state === 'settled' || state === 'empty',
        trouble: trouble ?? undefined,
        flow: 0,
        told: NOTHING_TOLD,
        refused: 0,
        lastRefused: undefined,
      };
    },
  });
}
