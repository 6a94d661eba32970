/**
 * A maker at the made-up bench who weighs a whole batch alone, looking only at what a person would see: the words of
 * the station and the number on the display. Things happen to her on the way; see `mishaps.ts`.
 */
import { mass, minus } from '../../mass/mass.ts';
import type { PlannedDraw } from '../../plan/model.ts';
import type { Clock } from '../../signal/clock.ts';
import { contentOf, type Holder, moveLot } from '../../simulate/holder.ts';
import { baseNow, drawNow, panOf, residueNow, standing, wantedNow } from '../../weighing/look.ts';
import type { Station } from '../../weighing/station.ts';
import { isZeroedUnder } from '../../weighing/zeroNow.ts';
import type { MadeUpBench } from './madeUpBench.ts';
import type { Mishaps } from './mishaps.ts';
import { createStepWork } from './stepWork.ts';

export interface MakerInput {
  readonly station: Station;
  readonly bench: MadeUpBench;
  readonly clock: Clock;
  readonly mishaps: Mishaps;
  /** Set when the run is over from outside. */
  readonly isOver: () => boolean;
}

/** Works until the batch has ended. */
export async function work({ station, bench, clock, mishaps, isOver }: MakerInput): Promise<void> {
  const { world, hand, instruments } = bench;
  const pause = (ms: number) => new Promise<void>((resolve) => clock.setTimeout(resolve, ms));
  const isMoving = (scale: string) => !station.live(scale).settled;

  /** Waits until the display stands still, as long as a patient person would. */
  const rest = async (scale: string): Promise<void> => {
    await pause(400);
    for (let tries = 0; tries < 40 && (isMoving(scale) || hand.pouring); tries++) await pause(100);
  };

  /** Takes everything off, waits for the empty pan, and puts the draw's vessel on. */
  const putOnAnew = async (draw: PlannedDraw): Promise<void> => {
    const pan = world.pan(draw.scale);
    const zeroed = isZeroedUnder(station.snapshot().context);
    for (const standsThere of [...pan.standing]) hand.lift(standsThere);
    await pause(1000);
    await rest(draw.scale); // the empty pan is looked at before anything goes on
    await pause(300);
    if (zeroed) {
      instruments.get(draw.scale)?.pressZero();
      await rest(draw.scale);
      station.declareEmpty(draw.scale);
    }
    hand.put(world.vessel(draw.on), pan);
    await rest(draw.scale);
  };

  const place = async (draw: PlannedDraw): Promise<void> => {
    const pan = world.pan(draw.scale);
    const vessel = world.vessel(draw.on);
    const here = standing(station.snapshot().context);
    const onIt = world.panUnder(vessel) === pan && pan.standing.size === 1;
    if (onIt && here !== 'unsure' && here !== 'wrong' && !isZeroedUnder(station.snapshot().context)) {
      await pause(300);
      // It stands there and the scale shows nothing: it took its zero under the vessel. Lift it and look.
      if (standing(station.snapshot().context) !== 'nothing') return;
    }
    await putOnAnew(draw);
  };

  /** Where a draw comes from and where the hand moves it. */
  const route = (draw: PlannedDraw): { from: Holder; to: Holder } =>
    draw.way === 'subtract'
      ? { from: world.vessel(draw.on), to: world.spoon }
      : { from: world.lot(draw.lot), to: world.vessel(draw.on) };

  const pourSome = async (draw: PlannedDraw): Promise<void> => {
    const band = wantedNow(station.snapshot().context);
    const net = station.live(draw.scale).net;
    if (band === null || net === undefined) return pause(200);
    const missing = minus(band.target, net) + mishaps.extra(draw, net);
    const { from, to } = route(draw);
    if (missing <= 0 || contentOf(from) === 0) {
      // Looks right, or the bag is empty: hands off, and let the tool decide.
      if (contentOf(from) === 0 && missing > 0) mishaps.tell(`the bag of ${draw.name} is empty`);
      return pause(500);
    }
    const d = station.snapshot().context.batch.plan.scales[draw.scale]?.d ?? 1;
    const afterRun = draw.way === 'subtract' ? mass(0) : mass(Math.round(Math.min(missing * 0.01, 1.5e6)));
    if (missing > 20 * d && draw.way !== 'subtract') {
      const grams = missing / 1e6;
      hand.pour({
        from,
        to,
        gramsPerSecond: Math.max(grams / 3, 0.05),
        upTo: mass(Math.round(missing) - afterRun),
        afterRun,
      });
    } else {
      hand.move(from, to, mass(Math.round(missing)));
    }
    await rest(draw.scale);
    await mishaps.during(draw, { pause, instruments });
  };

  const takeBack = async (draw: PlannedDraw): Promise<void> => {
    const band = wantedNow(station.snapshot().context);
    const net = station.live(draw.scale).net;
    if (band === null || net === undefined) return pause(200);
    const surplus = mass(Math.max(0, minus(net, band.target)));
    mishaps.tell(`${draw.name}: too much, and it is taken back`);
    if (draw.way === 'subtract') hand.move(world.spoon, world.vessel(draw.on), surplus);
    else moveLot(world.vessel(draw.on), world.bin, draw.lot, surplus);
    await rest(draw.scale);
    await pause(300);
  };

  const tip = async (draw: PlannedDraw): Promise<void> => {
    const cup = world.vessel(draw.on);
    const into = world.vessel(draw.vessel);
    if (residueNow(station.snapshot().context) === null && world.panUnder(cup)) {
      hand.lift(cup);
      await pause(900);
      hand.tip(cup, into, mass(Math.round(contentOf(cup) * 0.004)));
      await pause(2600); // scraped out; meanwhile the empty pan comes to rest
      hand.put(cup, world.pan(draw.scale));
    }
    await rest(draw.scale);
  };

  const doStep = createStepWork({ station, bench, pause, rest, putOnAnew });

  while (!isOver() && station.snapshot().status !== 'done') {
    const snapshot = station.snapshot();
    const draw = drawNow(snapshot.context);
    if (snapshot.matches('gathering')) {
      await pause(600);
      station.answer({ type: 'answer.yes' });
    } else if (snapshot.matches('step') || snapshot.matches('summing')) await doStep();
    else if (snapshot.matches('lastLook')) {
      for (const id of instruments.keys()) for (const each of [...world.pan(id).standing]) hand.lift(each);
      await pause(1500);
    } else if (!draw) await pause(50);
    else if (snapshot.matches('placing') || snapshot.matches('blind')) {
      instruments.get(draw.scale)?.pressOn();
      mishaps.heal?.(draw, instruments.get(draw.scale));
      await place(draw);
    } else if (snapshot.matches('hold')) {
      if (mishaps.stays?.(draw)) await pause(200);
      else await takeBack(draw);
    } else if (snapshot.matches('tipping')) await tip(draw);
    else if (panOf(snapshot.context, draw.scale).doubted) {
      await putOnAnew(draw);
      mishaps.heal?.(draw, instruments.get(draw.scale));
    } else if (snapshot.matches({ pouring: 'under' }) && baseNow(snapshot.context) !== null) await pourSome(draw);
    await pause(100);
  }
}
