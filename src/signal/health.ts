/**
 * Can the scale be believed? A second look over the signal's shoulder: a display that freezes or snaps, a unit that
 * changes without a word, a pan that won't come to rest, a zero that has wandered. It adds to what the signal tells and
 * never takes anything away.
 */
import { type Mass, minus, size } from '../mass/mass.ts';
import { type Arrival, arrivalAt, hasTail, isAbrupt, LEAST_TAIL } from './arrival.ts';
import type { Happening, Level } from './happening.ts';
import { MOST_SAMPLES, restingSpread, type Sample } from './settled.ts';
import { type SignalConfig, type SignalInput, type SignalState, STILL, step } from './signal.ts';
import { unitJump } from './unitJump.ts';

export interface HealthConfig extends SignalConfig {
  /** Whether the unit stands in the lines, so that a change of unit is seen at once. */
  readonly unitIsSent: boolean;
}

export interface HealthState {
  /** The last seconds of readings; while no rest is told yet, from some seconds before they stood still. */
  readonly samples: readonly Sample[];
  /**
   * Whether the scale comes to rest in ever smaller steps, so that a stop in full stride can be told; undefined before
   * its answer to a load put on the empty pan was seen.
   */
  readonly tail: boolean | undefined;
  /** Since the pan was empty there was a gap in the readings, so what was put on then told nothing of the scale. */
  readonly missed: boolean;
  /** The present level was reached in full stride. */
  readonly doubted: boolean;
  /** The reading before a jump by a ratio of units; undefined when there was none. */
  readonly beforeJump: Mass | undefined;
  /** Since when hardly anything has flowed without coming to rest. */
  readonly uneasySince: number | undefined;
  readonly restlessTold: boolean;
  /** Since when the present level stands; undefined while moving, and once it was told. */
  readonly levelSince: number | undefined;
  /** The scale has said that its supply is low; told once. */
  readonly lowSupply: boolean;
}

export interface Watched {
  readonly signal: SignalState;
  readonly health: HealthState;
}

export const UNWATCHED: Watched = {
  signal: STILL,
  health: {
    samples: [],
    tail: undefined,
    missed: false,
    doubted: false,
    beforeJump: undefined,
    uneasySince: undefined,
    restlessTold: false,
    levelSince: undefined,
    lowSupply: false,
  },
};

const REMEMBER_MS = 3000;
/** A load put on an empty pan shows the scale's manner when it is at least so many intervals. */
const TELLING_LOAD_D = 100;
const RESTLESS_AFTER_MS = 8000;
/** Readings within so many intervals over the last seconds are unease, not a pour. */
const UNEASE_D = 20;
const MOTIONLESS_AFTER_MS = 40_000;

/** One step of signal and health together. Never throws. */
export function stepWatched(
  watched: Watched,
  input: SignalInput,
  config: HealthConfig,
): { readonly state: Watched; readonly happenings: readonly Happening[] } {
  const { input: heard, beforeJump } = lookForJump(watched, input, config);
  const next = step(watched.signal, heard, config);
  let health: HealthState = { ...remember(watched, heard, config), beforeJump };
  const happenings: Happening[] = [];
  for (const happening of next.happenings) {
    health = learn(health, happening, watched.signal, config);
    happenings.push(seenThrough(happening, health, watched.signal));
  }
  if (input.kind === 'reading' && input.reading.lowSupply && !health.lowSupply) {
    health = { ...health, lowSupply: true };
    happenings.push({ kind: 'low-supply', scale: config.scale, at: input.reading.at });
  }
  if ('at' in heard) {
    const slow = lookForUnease(health, heard.at, next.state, config);
    health = slow.health;
    happenings.push(...slow.happenings);
  }
  return { state: { signal: next.state, health }, happenings };
}

/** A jump by a ratio of units turns the reading into trouble, until the number is back or the pan is empty. */
function lookForJump({ signal, health }: Watched, input: SignalInput, { unit, unitIsSent, d }: HealthConfig) {
  const { beforeJump } = health;
  if (input.kind !== 'reading') return { input, beforeJump };
  const { mass, at } = input.reading;
  const trouble: SignalInput = { kind: 'condition', condition: 'unit-jump', at };
  if (beforeJump !== undefined) {
    const isBack = size(minus(mass, beforeJump)) <= 2 * d || size(minus(mass, signal.zero)) <= 10 * d;
    return isBack ? { input, beforeJump: undefined } : { input: trouble, beforeJump };
  }
  const { level } = signal;
  if (unitIsSent || level === undefined || level.empty) return { input, beforeJump };
  return unitJump(level.gross, mass, unit, d) === undefined
    ? { input, beforeJump }
    : { input: trouble, beforeJump: level.gross };
}

function remember({ health, signal }: Watched, input: SignalInput, config: HealthConfig): HealthState {
  if (input.kind === 'keyed' || input.kind === 'lost') return { ...health, samples: [] };
  if (input.kind !== 'reading') return health;
  const { at, mass, stable } = input.reading;
  const samples = [...health.samples.slice(1 - MOST_SAMPLES), { at, gross: mass, stable }];
  // Until it says that it is at rest, the way to there is still to be looked at, however long it takes its time.
  const off = 2 * restingSpread(config);
  const onWay = signal.level ? undefined : samples.findLast(({ gross }) => size(minus(gross, mass)) > off);
  const from = (onWay?.at ?? at) - REMEMBER_MS;
  const first = samples.findIndex((sample) => sample.at >= from);
  // One older figure stays: a scale that speaks on change still shows it.
  return { ...health, samples: first <= 1 ? samples : samples.slice(first - 1) };
}

/** What a new level, or its end, says of the scale. */
function learn(health: HealthState, happening: Happening, before: SignalState, { d }: HealthConfig): HealthState {
  switch (happening.kind) {
    case 'settled': {
      const arrival = arrivalAt(health.samples, happening.gross, d);
      const tail = before.wasEmpty ? tailSeen(health, arrival, happening, d) : health.tail;
      const level = { ...health, tail, levelSince: happening.at, uneasySince: undefined, restlessTold: false };
      return arrival === undefined ? level : { ...level, doubted: isDoubtful(arrival, level, d) };
    }
    case 'emptied':
      return {
        ...health,
        missed: false,
        doubted: false,
        levelSince: undefined,
        uneasySince: undefined,
        restlessTold: false,
      };
    case 'moving':
      return { ...health, levelSince: undefined };
    case 'silent':
    case 'trouble':
      // How it came to the level after a gap was not seen, so nothing is to be said of it.
      return { ...health, samples: [], missed: true, levelSince: undefined };
    default:
      return health;
  }
}

/** What is known of the scale's manner once a load was put on the empty pan. */
function tailSeen({ tail, missed }: HealthState, arrival: Arrival | undefined, { load }: Level, d: Mass) {
  if (arrival && load > TELLING_LOAD_D * d && hasTail(arrival, d)) return true;
  return missed ? tail : (tail ?? false);
}

/**
 * Of a scale whose manner is not known, what a gap hid can't speak for it: then any sudden stop is doubted, else only that
 * of a flow that was heard. The vessel put back shows its manner, so this is asked once.
 */
function isDoubtful(arrival: Arrival, { tail, missed }: HealthState, d: Mass): boolean {
  return (tail ?? (missed || arrival.steps >= LEAST_TAIL)) && isAbrupt(arrival, d);
}

function seenThrough(happening: Happening, { doubted }: HealthState, before: SignalState): Happening {
  switch (happening.kind) {
    case 'settled':
    case 'dwelt':
      return doubted ? { ...happening, doubted } : happening;
    case 'emptied':
      return before.zeroKnown ? { ...happening, shift: minus(happening.zero, before.zero) } : happening;
    default:
      return happening;
  }
}

function lookForUnease(health: HealthState, at: number, signal: SignalState, { scale, d }: HealthConfig) {
  if (signal.level !== undefined) {
    const stands = health.levelSince !== undefined && at - health.levelSince >= MOTIONLESS_AFTER_MS;
    if (!stands) return { health: { ...health, uneasySince: undefined }, happenings: [] };
    const told: Happening[] = [{ kind: 'motionless', scale, at }];
    return { health: { ...health, uneasySince: undefined, levelSince: undefined }, happenings: told };
  }
  if (signal.silent || signal.trouble !== undefined || !isUneasy(latest(health.samples), d)) {
    return { health: { ...health, uneasySince: undefined }, happenings: [] };
  }
  const uneasySince = health.uneasySince ?? at;
  if (health.restlessTold || at - uneasySince < RESTLESS_AFTER_MS) {
    return { health: { ...health, uneasySince }, happenings: [] };
  }
  const told: Happening[] = [{ kind: 'restless', scale, at }];
  return { health: { ...health, uneasySince, restlessTold: true }, happenings: told };
}

function latest(samples: readonly Sample[]): readonly Sample[] {
  const last = samples.at(-1);
  return last ? samples.filter(({ at }) => at >= last.at - REMEMBER_MS) : samples;
}

/** Trembling about one place: close together, and going nowhere. */
function isUneasy(samples: readonly Sample[], d: Mass): boolean {
  if (samples.length < 4) return false;
  const grosses = samples.map(({ gross }) => gross);
  const middle = grosses.length >> 1;
  const mean = (part: readonly number[]) => part.reduce((sum, each) => sum + each, 0) / part.length;
  const going = Math.abs(mean(grosses.slice(middle)) - mean(grosses.slice(0, middle)));
  return Math.max(...grosses) - Math.min(...grosses) <= UNEASE_D * d && going <= 3 * d;
}
