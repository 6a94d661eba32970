/**
 * A simulated scale's inside: from the true load to what the display shows. It answers with a lag, trembles a
 * little, rounds to its interval, says when it has come to rest, and has the habits that cost makers their batches:
 * it switches itself off, takes what is on it as zero when it wakes, and changes its unit at a key.
 */
import { type Mass, mass } from '../mass/mass.ts';
import type { Unit } from '../mass/units.ts';
import type { Display } from '../wire/speak.ts';
import { clearedByPower, type Faults, freezeThere, noFaults, snapped } from './faults.ts';
import { intervalIn } from './interval.ts';
import type { Random } from './seededRandom.ts';

export interface InstrumentSettings {
  readonly capacity: Mass;
  /** Scale interval. */
  readonly d: Mass;
  /** Standard deviation of what it would show at rest before rounding. */
  readonly noise: Mass;
  /** Time constant of its answer, milliseconds; default 250. */
  readonly lagMs?: number | undefined;
  /** New figures per second; default 10. */
  readonly perSecond?: number | undefined;
  /** It says "settled" once the display has kept within one interval for so long, milliseconds; default 600. */
  readonly settleMs?: number | undefined;
  /** What its unit key goes through, the first one after switching on; default g only. */
  readonly units?: readonly [Unit, ...Unit[]] | undefined;
  /** Switches itself off after so long without a change of more than two intervals, milliseconds. */
  readonly sleepsAfterMs?: number | undefined;
  /** Takes what stands on it as zero by itself after so long without a change of more than two intervals, milliseconds. */
  readonly zeroesAfterMs?: number | undefined;
  /** Shows under-range so far below its zero; default: its capacity. */
  readonly lowest?: Mass | undefined;
  /**
   * Follows slow changes at zero and so swallows slow additions; default false. `anywhere`: under a load that has come
   * to rest too, which no standard allows, but some do.
   */
  readonly zeroTracking?: boolean | 'anywhere' | undefined;
  /** How fast it follows, intervals per second; default 0.5. */
  readonly tracksPerSecond?: number | undefined;
}

/** One figure on the display. */
export interface Shown extends Display {
  /** Monotonic milliseconds. */
  readonly at: number;
}

export interface Instrument {
  /** Lets time pass and returns every new figure on the way; none while it is off. */
  advance(toMs: number): Shown[];
  /** What stands on the display now; undefined while it is off or before its first figure. */
  readonly shown: Shown | undefined;
  readonly on: boolean;
  /** The zero key: what is on the pan shows as nothing. Does nothing when it is off. */
  pressZero(): void;
  /** The tare key: the same on the display, but a vessel's weight is kept beside the zero; a zero key clears it. */
  pressTare(): void;
  /** The unit key. Does nothing when it is off. */
  pressUnit(): void;
  /** Switches it on, which takes what is on the pan as zero. */
  pressOn(): void;
  pressOff(): void;
  /** The display keeps its figure, whatever comes on the pan, until it is let go (or switched off). */
  freeze(on: boolean): void;
  /** Set these to make it misbehave. */
  readonly faults: Faults;
}

/** Inside, the load is looked at least this often, milliseconds. */
const LONGEST_STEP = 20;
/** A scale shows up to nine intervals over its capacity (limit of OIML R 76-1 for e; from memory). */
const OVER_BY = 9;
/** Zero tracking follows at most half an interval per second, and only near zero (OIML R 76-1, T.2.7.3). */
const TRACKING = 0.5;
/** One that follows anywhere does so within this many intervals of where it came to rest. */
const FOLLOWS_WITHIN = 0.75;

/**
 * @param loadAt the true load on the pan at a time
 * @param startMs when it is switched on, monotonic milliseconds
 */
export function createInstrument(
  settings: InstrumentSettings,
  loadAt: (atMs: number) => Mass,
  random: Random,
  startMs = 0,
): Instrument {
  const { capacity, d, noise, lagMs = 250, perSecond = 10, settleMs = 600, sleepsAfterMs, zeroesAfterMs } = settings;
  const { lowest = capacity, zeroTracking = false, tracksPerSecond = TRACKING } = settings;
  const units: readonly Unit[] = settings.units ?? ['g'];
  const period = 1000 / perSecond;
  const stepsPerFigure = Math.ceil(period / LONGEST_STEP);
  const stepMs = period / stepsPerFigure;
  const follows = 1 - Math.exp(-stepMs / lagMs);
  // White noise ahead of the lag, so large that `noise` is what comes out behind it.
  const shake = noise * Math.sqrt((2 - follows) / follows);

  let steps = 0;
  let inside: number = loadAt(startMs);
  // At the start it is on and shows the true load: it was switched on with an empty pan.
  let zero = 0;
  let tare = 0;
  let unitIndex = 0;
  let on = true;
  let shown: Shown | undefined;
  const faults = noFaults(zeroesAfterMs);
  /** Where the load stood when it last came to rest, for one that follows anywhere. */
  let anchor: number | undefined;
  let rest = { from: startMs, figure: Number.NaN };
  let idle = { from: startMs, figure: Number.NaN };

  const wakeAt = (at: number): void => {
    on = true;
    zero = inside;
    tare = 0;
    unitIndex = 0;
    rest = { from: at, figure: Number.NaN };
    idle = { from: at, figure: Number.NaN };
  };

  const figureAt = (at: number): Shown => {
    const unit = units[unitIndex] ?? 'g';
    const { digits, scale, micrograms } = intervalIn(unit, d);
    const gross = snapped(faults, inside - zero - tare);
    freezeThere(faults, gross);
    const figure = Math.round(gross / micrograms);
    if (!(Math.abs(figure - rest.figure) <= 1)) rest = { from: at, figure };
    if (!(Math.abs(figure - idle.figure) <= 2)) idle = { from: at, figure };
    const isOver = inside - zero > capacity + OVER_BY * d;
    const condition = isOver ? 'over-range' : inside - zero < -lowest ? 'under-range' : undefined;
    const stable = condition === undefined && at - rest.from >= settleMs;
    const number = { digits: BigInt(figure) * BigInt(digits), scale };
    return { at, number, unit, stable, lowSupply: faults.lowSupply || undefined, condition };
  };

  const stillAt = (at: number, figure: Shown): Shown => {
    const says = faults.frozen === 'held' && figure.condition === undefined && at - rest.from >= settleMs;
    return { ...figure, at, stable: figure.stable || says };
  };

  const step = (at: number): void => {
    const tremble = faults.tremble * Math.sqrt((2 - follows) / follows);
    inside += (loadAt(at) + Math.hypot(shake, tremble) * random.normal() - inside) * follows;
    zero -= (faults.drift * stepMs) / 1000;
    if (zeroTracking !== false) track(at);
  };

  const track = (at: number): void => {
    const off = offNow(at);
    if (off === undefined) return;
    const most = (tracksPerSecond * d * stepMs) / 1000;
    zero += Math.max(-most, Math.min(most, off));
  };

  /** How far the load is from where tracking holds it; undefined where it does not. */
  const offNow = (at: number): number | undefined => {
    const gross = inside - zero - tare;
    if (zeroTracking === true) return Math.abs(gross) < TRACKING * d ? gross : undefined;
    if (anchor !== undefined && Math.abs(gross - anchor) > FOLLOWS_WITHIN * d) anchor = undefined;
    if (anchor === undefined && at - rest.from >= settleMs) anchor = gross;
    return anchor === undefined ? undefined : gross - anchor;
  };

  const now = (): number => startMs + steps * stepMs;

  const setZero = (at: number): void => {
    zero = inside;
    tare = 0;
    anchor = undefined;
    idle = { from: at, figure: Number.NaN };
  };

  return {
    advance(toMs) {
      const figures: Shown[] = [];
      while (startMs + (steps + 1) * stepMs <= toMs) {
        steps += 1;
        const at = now();
        step(at);
        if (!on || steps % stepsPerFigure !== 0) continue;
        shown = faults.frozen && shown ? stillAt(at, shown) : figureAt(at);
        figures.push(shown);
        if (at - idle.from >= (faults.zeroesAfterMs ?? Number.POSITIVE_INFINITY)) setZero(at);
        if (sleepsAfterMs !== undefined && at - idle.from >= sleepsAfterMs) {
          on = false;
          shown = undefined;
        }
      }
      return figures;
    },
    get shown() {
      return on ? shown : undefined;
    },
    get on() {
      return on;
    },
    pressZero() {
      if (on) setZero(now());
    },
    pressTare() {
      if (!on) return;
      tare = inside - zero;
      anchor = undefined;
    },
    pressUnit() {
      if (!on) return;
      unitIndex = (unitIndex + 1) % units.length;
      rest = { from: now(), figure: Number.NaN };
      idle = { from: now(), figure: Number.NaN };
    },
    pressOn() {
      if (!on) wakeAt(now());
    },
    pressOff() {
      on = false;
      shown = undefined;
      clearedByPower(faults);
    },
    freeze(isFrozen) {
      faults.frozen = isFrozen ? 'hung' : undefined;
    },
    faults,
  };
}

/** The settings of a usual scale: noise of a third of the interval, where no repeatability is known. */
export function usualNoise(d: Mass): Mass {
  return mass(Math.round(d / 3));
}
