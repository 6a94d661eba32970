/** The hand that you move by keys in the demo. A key held down repeats, so holding it pours on. */

import { drawOf } from '../../facts/apply.ts';
import { type Mass, mass } from '../../mass/mass.ts';
import type { PlannedDraw, PlannedStep } from '../../plan/model.ts';
import type { Clock } from '../../signal/clock.ts';
import { createHolder, type Holder, moveLot } from '../../simulate/holder.ts';
import { drawNow, netNow, panOf, residueNow, stepNow, wantedNow } from '../../weighing/look.ts';
import type { Station, WeighingSnapshot } from '../../weighing/station.ts';
import { drawAfterStep, movesContentNow, stepVessel, tapScale } from '../../weighing/stepPans.ts';
import { undoableNow } from '../../weighing/undoing.ts';
import { scaleToLookAt } from '../../weighing/unseenNow.ts';
import type { MadeUpBench } from './madeUpBench.ts';

/** One press pours for so long; holding the key makes it one stream. */
const POUR_MS = 300;
/** What clings to a tipped cup, as a share of its content (common practice, no source). */
const CLINGS = 0.004;

/** A finger on the pan: with so much, for so long. */
const FINGER = createHolder('finger', mass(60_000_000));
const TAP_MS = 700;

export interface HandKeys {
  /** Does what a key of the hand means now. @returns whether it is one */
  press(key: string, station: Station): boolean;
  /** A step is written down as done: its vessel is emptied, unless the hand has done that already. */
  stepDone(step: PlannedStep): void;
}

/** The hand at a made-up bench. It knows which vessels it has emptied, as each is emptied once. */
export function createHandKeys(bench: MadeUpBench, clock: Clock): HandKeys {
  const { world, hand, instruments } = bench;
  const emptied = new Set<string>();

  const empty = (step: PlannedStep): void => {
    if (step.vessel === null || step.into === null || emptied.has(step.id)) return;
    emptied.add(step.id);
    emptyVessels(bench, step.vessel, step.into, step.step);
  };
  const putOn = (id: string, scale: string): void => {
    const vessel = world.vessel(id);
    const pan = world.pan(scale);
    for (const other of [...pan.standing]) if (other !== vessel) hand.lift(other);
    if (world.panUnder(vessel) !== pan) hand.put(vessel, pan);
  };
  const liftAll = (scale: string | undefined): void => {
    if (scale !== undefined)
      for (const vessel of [...world.pan(scale).standing]) if (vessel !== FINGER) hand.lift(vessel);
  };
  const tap = (scale: string): void => {
    const { standing } = world.pan(scale);
    if (standing.size > 0) return;
    standing.add(FINGER);
    clock.setTimeout(() => standing.delete(FINGER), TAP_MS);
  };

  return {
    press(key, station) {
      const snapshot = station.snapshot();
      const scene = snapshot.context;
      const asked = askedFor(snapshot);
      const step = stepNow(scene);
      const draw = drawNow(scene);
      switch (key) {
        case 'up':
          if (asked) putOn(asked.vessel, asked.scale);
          return asked !== undefined;
        case 'down':
          if (draw) liftOrTip(station, bench, draw, world.vessel(draw.on));
          else if (step && movesContentNow(scene)) empty(step);
          else if (step) liftAll(asked?.scale);
          else if (snapshot.matches('lastLook')) liftAll(scaleToLookAt(scene));
          return true;
        case 't': {
          const scale = tapScale(scene);
          if (scale !== undefined) tap(scale);
          return scale !== undefined;
        }
        case 'b': {
          const last = undoableNow(scene);
          const done = last?.of === 'weighed' ? drawOf(scene.batch, last.id) : undefined;
          if (done) putOn(done.on, done.scale);
          return done !== undefined;
        }
        case 'o': {
          const instrument = asked && instruments.get(asked.scale);
          if (instrument?.on) instrument.pressOff();
          else instrument?.pressOn();
          return instrument !== undefined;
        }
        default:
          return draw !== undefined && moveMaterial(key, station, bench, draw);
      }
    },
    stepDone: empty,
  };
}

/** The vessel that the screen asks for, and the scale that it belongs on. */
function askedFor(snapshot: WeighingSnapshot): { readonly vessel: string; readonly scale: string } | undefined {
  const scene = snapshot.context;
  const draw = drawNow(scene);
  if (draw) return { vessel: draw.on, scale: draw.scale };
  const step = stepNow(scene);
  const isOver = step && (step.forMs === null || snapshot.matches({ step: 'rung' }));
  const next = isOver && step.step !== 'sum' && !movesContentNow(scene) ? drawAfterStep(scene) : undefined;
  if (next) return { vessel: next.on, scale: next.scale };
  const vessel = stepVessel(scene);
  const scale = tapScale(scene);
  return vessel === undefined || scale === undefined ? undefined : { vessel, scale };
}

function moveMaterial(key: string, station: Station, bench: MadeUpBench, draw: PlannedDraw): boolean {
  switch (key) {
    case 'space':
      pour(station, bench, draw);
      return true;
    case 'right':
      pinch(station, bench, draw);
      return true;
    case 'left':
      takeOut(station, bench, draw);
      return true;
    default:
      return false;
  }
}

function liftOrTip(station: Station, { world, hand }: MadeUpBench, draw: PlannedDraw, vessel: Holder): void {
  const snapshot = station.snapshot();
  hand.lift(vessel);
  // What was given up goes into the bin as soon as the vessel is off the pan.
  if (panOf(snapshot.context, draw.scale).toEmpty && draw.way !== 'subtract') hand.tip(vessel, world.bin);
  if (snapshot.matches('tipping') && residueNow(snapshot.context) === null) {
    const content = [...vessel.contents.values()].reduce((sum, each) => sum + each, 0);
    hand.tip(vessel, world.vessel(draw.vessel), mass(Math.round(content * CLINGS)));
  }
}

function route({ world }: MadeUpBench, draw: PlannedDraw): { from: Holder; to: Holder } {
  return draw.way === 'subtract'
    ? { from: world.vessel(draw.on), to: world.spoon }
    : { from: world.lot(draw.lot), to: world.vessel(draw.on) };
}

/** A pour that would fill the draw in about four seconds. */
function pour(station: Station, bench: MadeUpBench, draw: PlannedDraw): void {
  const band = wantedNow(station.snapshot().context);
  if (band === null) return;
  const perSecond = Math.max(band.target / 4e6, 0.05);
  const upTo = mass(Math.round((perSecond * 1e6 * POUR_MS) / 1000));
  bench.hand.pour({ ...route(bench, draw), gramsPerSecond: perSecond, upTo, afterRun: mass(Math.round(upTo * 0.05)) });
}

/** About a hundredth of the draw, and at least two steps of the display. */
function pinchSize(station: Station, draw: PlannedDraw): Mass {
  const { context } = station.snapshot();
  const band = wantedNow(context);
  const d = context.batch.plan.scales[draw.scale]?.d ?? 1;
  return mass(Math.max(2 * d, Math.round((band?.target ?? 0) / 100)));
}

function pinch(station: Station, bench: MadeUpBench, draw: PlannedDraw): void {
  const { from, to } = route(bench, draw);
  bench.hand.move(from, to, pinchSize(station, draw));
}

function takeOut(station: Station, bench: MadeUpBench, draw: PlannedDraw): void {
  const { world, hand } = bench;
  const amount = pinchSize(station, draw);
  if (draw.way === 'subtract') hand.move(world.spoon, world.vessel(draw.on), amount);
  else if ((netNow(station.snapshot().context) ?? 1) > 0) moveLot(world.vessel(draw.on), world.bin, draw.lot, amount);
}

/** What the hand does by itself when a fact says that work between draws is done: vessels are emptied as it says. */
function emptyVessels({ world, hand }: MadeUpBench, from: string, into: string, kind: string): void {
  const vessel = world.vessel(from);
  hand.lift(vessel);
  const content = [...vessel.contents.values()].reduce((sum, each) => sum + each, 0);
  // What sticks: about one percent; a rinse takes most of that (common practice, no source).
  hand.tip(vessel, world.vessel(into), mass(Math.round(content * (kind === 'rinse' ? 0.2 : 0.01))));
}
