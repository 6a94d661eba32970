/** The hand that you move by keys in the demo. A key held down repeats, so holding it pours on. */
import { type Mass, mass } from '../../mass/mass.ts';
import type { PlannedDraw } from '../../plan/model.ts';
import { type Holder, moveLot } from '../../simulate/holder.ts';
import { drawNow, netNow, panOf, residueNow, wantedNow } from '../../weighing/look.ts';
import type { Station } from '../../weighing/station.ts';
import type { MadeUpBench } from './madeUpBench.ts';

/** What the screen says of the hand's keys. */
export const HAND_KEYS = 'Your hand: Up put on, Down lift or tip, Space pour, Right/Left pinch in/out';
('Your hand: Up put on  Down lift, tip  Space pour  Right pinch in  Left pinch out  o scale on/off');

/** One press pours for so long; holding the key makes it one stream. */
const POUR_MS = 300;
/** What clings to a tipped cup, as a share of its content (common practice, no source). */
const CLINGS = 0.004;

/** Does what a key of the hand means now. @returns whether it is one */
export function moveHand(key: string, station: Station, bench: MadeUpBench): boolean {
  const { context } = station.snapshot();
  const draw = drawNow(context);
  if (!draw) return false;
  const { world, hand, instruments } = bench;
  const vessel = world.vessel(draw.on);
  const pan = world.pan(draw.scale);
  switch (key) {
    case 'up':
      for (const other of [...pan.standing]) if (other !== vessel) hand.lift(other);
      if (world.panUnder(vessel) !== pan) hand.put(vessel, pan);
      return true;
    case 'down':
      liftOrTip(station, bench, draw, vessel);
      return true;
    case 'space':
      pour(station, bench, draw);
      return true;
    case 'right':
      pinch(station, bench, draw);
      return true;
    case 'left':
      takeOut(station, bench, draw);
      return true;
    case 'o': {
      const instrument = instruments.get(draw.scale);
      if (instrument?.on) instrument.pressOff();
      else instrument?.pressOn();
      return true;
    }
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
export function emptyVessels({ world, hand }: MadeUpBench, from: string, into: string, kind: string): void {
  const vessel = world.vessel(from);
  hand.lift(vessel);
  const content = [...vessel.contents.values()].reduce((sum, each) => sum + each, 0);
  // What sticks: about one percent; a rinse takes most of that (common practice, no source).
  hand.tip(vessel, world.vessel(into), mass(Math.round(content * (kind === 'rinse' ? 0.2 : 0.01))));
}
