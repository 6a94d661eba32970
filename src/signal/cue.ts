/**
 * Cues: what the hand should do now, said before it has gone too far. A pure reducer over the readings of one pour.
 *
 * - `pour`: there is far to go; `ease`: slow down; `drips`: so slowly that a stop hits the band; `stop`: hands off.
 * - no cue: the pan rests in the band, something is taken out, or the number is too uneven to tell.
 *
 * A cue is told from the landing, never from the weight alone; whether a weight is good is only `judge()`'s to say, and
 * no cue speaks against it.
 */
import { type Band, judge } from '../accept/band.ts';
import { type Mass, mass } from '../mass/mass.ts';
import type { PourSeen, StopSaid } from './afterRun.ts';
import { flowOf } from './flow.ts';
import { evennessOf, type Grain, NO_GRAIN, partsOf, stepGrain, WINDOW_MS } from './grain.ts';
import { type Landing, landingOf, type PourHabit } from './landing.ts';
import { REACTION_MS } from './reaction.ts';
import { MOST_SAMPLES, type Sample } from './settled.ts';

export type Cue = 'pour' | 'ease' | 'drips' | 'stop';

/** What the draw is to come to. */
export interface Aim extends Band {
  readonly target: Mass;
  /** The scale's interval. */
  readonly d: Mass;
}

export interface CueState {
  readonly cue: Cue | null;
  /** When that cue began, monotonic milliseconds. */
  readonly since: number;
  /** Where the pour would end if the hand were told to stop now; undefined while nothing flows. */
  readonly landing: Mass | undefined;
  /** The largest flow of this pour so far, micrograms per second: the hand's own tempo. */
  readonly briskest: number;
  /** Stream or pieces, by what this pour has shown. */
  readonly grain: Grain;
  /** How the pour stood when `stop` was last said into a steady flow. */
  readonly stop: StopSaid | undefined;
  /** The same, with where it came to rest: it teaches the next pours. */
  readonly seen: PourSeen | undefined;
  readonly window: readonly Sample[];
}

/** Before the first reading of a pour. */
export const NO_CUE: CueState = {
  cue: null,
  since: 0,
  landing: undefined,
  briskest: 0,
  grain: NO_GRAIN,
  stop: undefined,
  seen: undefined,
  window: [],
};

export interface CueInput {
  /** Monotonic milliseconds. */
  readonly at: number;
  /** Net weight shown. */
  readonly net: Mass;
  /** The signal says that the pan is at rest. */
  readonly resting: boolean;
}

/** Less than so many intervals a second is no flow: rounding looks like it. */
const NO_FLOW_D = 2;
/** A number that falls by more than this is not being poured to. */
const BACKING_D = 4;

// Chosen by looking at the figures of `npm run bench -- --only pour` with other seeds than it prints.
/** Seconds until the low end of the band at which a hand that is too fast is told to ease, and to let it drip. */
const EASE_S = 1.8;
const DRIPS_S = 0.8;
/** A flow is slow enough when so many standard deviations of its landing fit between the target and the band's end. */
const SLOW = 3;
/** Slowing down begins so many standard deviations of the landing sooner. */
const SOONER = 2;
/**
 * `stop` is sure when the landing is so many standard deviations above the low end. Where the band has no room for that it
 * waits no longer than this share of the way to the target: what is short can be added, what is over is in.
 */
const SURE = 2.2;
const AT_LATEST = 0.8;
/** From rest there must be so many seconds to go at the hand's own tempo to pour, and to pour at about a third of it. */
const FULL_S = 3;
const EASED_S = 0.5;
/**
 * Of a hand that was never seen only the scale's interval tells what is far: so many intervals are more than a brisk hand
 * pours before its flow is seen, and so many are no more than a few drops.
 */
const FAR_D = 1000;
const NEAR_D = 20;
/** A hand that eases goes on at about this share of its flow, and is given so long to do it. */
const EASED_SHARE = 0.4;
const EASING_MS = 1200;
/** A pour that was begun carefully is let run after so long, when there are so many seconds to go at its flow. */
const FAR_AFTER_MS = 2000;
const FAR_S = 8;
/** Every other cue stands for so long, but `stop` never waits. */
const LEAST_MS = 500;
/** `stop` is taken back when nothing has flowed for so long and it is plain that the band was not reached. */
const GIVE_UP_STOP_MS = 2000;

const RANK: Readonly<Record<Cue, number>> = { pour: 0, ease: 1, drips: 2, stop: 3 };

/** One reading further. Never throws. */
export function stepCue(state: CueState, input: CueInput, aim: Aim, habit: PourHabit): CueState {
  const { at, net, resting } = input;
  const sample: Sample = { at, gross: net, stable: undefined };
  const recent = state.window.filter((each) => each.at > at - WINDOW_MS && each.at <= at);
  const window = [...recent.slice(1 - MOST_SAMPLES), sample];
  if (resting) return atRest({ ...state, window }, input, aim, habit);

  const flow = flowOf(window);
  const flows = flow > NO_FLOW_D * aim.d;
  const isEasing = (state.cue === 'ease' || state.cue === 'drips') && at - state.since < EASING_MS;
  const runsMs = isEasing ? EASED_SHARE * REACTION_MS : REACTION_MS;
  const parts = partsOf(window);
  const grain = flows ? stepGrain(state.grain, parts) : state.grain;
  const landing = landingOf({ shown: net, flow, ...parts, runsMs, evenness: evennessOf(grain) }, habit, aim.d);
  const moved: CueState = {
    ...state,
    window,
    grain,
    briskest: Math.max(state.briskest, flow),
    landing: flows ? mass(Math.round(landing.net)) : undefined,
  };
  const cue = cueWhile(moved, { at, net, flow, flows, landing }, aim, habit);
  if (cue === state.cue) return moved;
  const least = state.cue === 'ease' ? EASING_MS : LEAST_MS;
  if (cue !== 'stop' && state.cue !== null && at - state.since < least) return moved;
  return { ...moved, cue, since: at, stop: cue === 'stop' ? stopSaid(moved, landing, flows && !isEasing) : undefined };
}

/** A `stop` into a steady flow teaches; another is told apart from it by what was said before. */
function stopSaid(state: CueState, { running, arrived }: Landing, isSteady: boolean): StopSaid | undefined {
  const { briskest } = state;
  if (!isSteady) return state.stop;
  return { flow: Math.round(running), arrived: mass(Math.round(arrived)), briskest: Math.round(briskest) };
}

interface Moving {
  readonly at: number;
  readonly net: Mass;
  readonly flow: number;
  readonly flows: boolean;
  readonly landing: Landing;
}

function cueWhile(state: CueState, { at, net, flow, flows, landing }: Moving, aim: Aim, habit: PourHabit): Cue | null {
  if (judge(net, aim) !== 'under') return 'stop';
  const stood = at - state.since;
  if (state.cue === 'stop') return stood > GIVE_UP_STOP_MS && !flows && landing.net < aim.low ? 'drips' : 'stop';
  if (isBacking(state.window, aim.d)) return null;
  const half = aim.target - aim.low;
  const sure = Math.min(AT_LATEST * half, SURE * landing.wholeDoubt);
  if (flows && landing.net >= aim.low + sure) return 'stop';

  const left = aim.low - landing.net;
  const brisk = Math.max(state.briskest, habit.afterRun.briskest);
  const isFar = left > FAR_S * flow && left > FULL_S * brisk;
  if (state.cue === 'ease' && stood > FAR_AFTER_MS && flows && isFar) return 'pour';
  const seconds = (left - SOONER * landing.doubt) / Math.max(flow, 1);
  const tooFast = SLOW * landing.wholeDoubt > half;
  const asked: Cue = tooFast && seconds < DRIPS_S ? 'drips' : tooFast && seconds < EASE_S ? 'ease' : 'pour';
  // Once slowed down it stays so until the pan has come to rest: a slower flow is no reason to speed up again.
  return state.cue !== null && RANK[state.cue] > RANK[asked] ? state.cue : asked;
}

function atRest(state: CueState, { at, net }: CueInput, aim: Aim, habit: PourHabit): CueState {
  const rested = { ...state, landing: undefined, seen: state.stop ? seenAt(state.stop, net, state.seen) : state.seen };
  const cue = cueAtRest(Math.max(state.briskest, habit.afterRun.briskest), net, aim);
  if (cue === state.cue) return rested;
  // What is poured from here on is another pour.
  return { ...rested, cue, since: at, stop: cue === null || cue === 'stop' ? state.stop : undefined };
}

/** What still creeps in belongs to the pour; what is taken back out later does not. */
function seenAt(stop: StopSaid, net: Mass, before: PourSeen | undefined): PourSeen {
  const isSame = before?.arrived === stop.arrived && before.flow === stop.flow;
  return { ...stop, ended: isSame ? mass(Math.max(before.ended, net)) : net };
}

function cueAtRest(briskest: number, net: Mass, aim: Aim): Cue | null {
  const verdict = judge(net, aim);
  if (verdict !== 'under') return verdict === 'over' ? 'stop' : null;
  const left = aim.low - net;
  if (briskest === 0) return left > FAR_D * aim.d ? 'pour' : left > NEAR_D * aim.d ? 'ease' : 'drips';
  if (left > FULL_S * briskest) return 'pour';
  return left > EASED_S * briskest ? 'ease' : 'drips';
}

/** The number goes down again: something is taken out, the pan is touched, the table shakes. */
function isBacking(window: readonly Sample[], d: Mass): boolean {
  const last = window.at(-1);
  if (!last) return false;
  return Math.max(...window.map(({ gross }) => gross)) - last.gross > BACKING_D * d;
}
