/**
 * Landing: the net weight that a pour would end at if the hand were told to stop now.
 *
 * Three things are still to come on the display: what the scale has not shown yet (its lag), what flows until the hand
 * has stopped (its reaction), and what runs on after it (the after-run of the ingredient).
 */
import type { Mass } from '../mass/mass.ts';
import { type AfterRun, afterRunAt } from './afterRun.ts';
import { REACTION_MS } from './reaction.ts';

/** What is known of a scale and an ingredient from earlier pours. */
export interface PourHabit {
  /** Time constant of the scale's answer, milliseconds. */
  readonly lagMs: number;
  readonly afterRun: AfterRun;
}

/** Standard deviation of one reaction from another, milliseconds (common practice, no source). */
const REACTION_SPREAD_MS = 100;
/** From so many times its mean on, the unevenness of a flow says that it is no flow but single pieces. */
const GAPPY = 1.2;

/** A pour as the display shows it. */
export interface Flowing {
  /** Net weight on the display, micrograms. */
  readonly shown: number;
  /** How fast the display changes now, micrograms per second. */
  readonly flow: number;
  /** How fast it has changed over the last moments, micrograms per second: lumps and gaps taken together. */
  readonly mean: number;
  /** Standard deviation of the flow over the last moments, micrograms per second. */
  readonly unevenness: number;
  /** How long the flow goes on after the word to stop, milliseconds. */
  readonly runsMs: number;
  /** 1: an even stream; 0: pieces. */
  readonly evenness: number;
}

export interface Landing {
  /** Already in the vessel, micrograms: the display's own lag taken off. */
  readonly arrived: number;
  /** The flow that is reckoned with, micrograms per second. */
  readonly running: number;
  /** Where it will end if the hand is told to stop now, micrograms. */
  readonly net: number;
  /** Standard deviation of `net`, micrograms, from pour to pour. */
  readonly doubt: number;
  /** The same, with what comes of not knowing the ingredient. */
  readonly wholeDoubt: number;
  /** The after-run was learnt from pours that were stopped at such a flow. */
  readonly isKnown: boolean;
}

/**
 * What is in the vessel already when a scale with a first-order lag shows `shown`, changing by `flow`. From the lag's own
 * equation, `lag * d(shown)/dt = true - shown`, so it is exact for any inflow (derivation; it is what defines a
 * first-order system).
 * @param flow micrograms per second, as shown
 */
export function arrivedOf(shown: number, flow: number, lagMs: number): number {
  return shown + (flow * lagMs) / 1000;
}

/** @param d the scale's interval */
export function landingOf(flowing: Flowing, habit: PourHabit, d: Mass): Landing {
  const { shown, flow, mean, unevenness, runsMs, evenness } = flowing;
  const arrived = arrivedOf(shown, flow, habit.lagMs);
  // Of single pieces and drops with gaps between the next may not fall any more.
  const running = unevenness > GAPPY * mean ? 0 : Math.max(0, Math.min(flow, mean));
  const after = afterRunAt(habit.afterRun, running, evenness);
  const net = arrived + (running * runsMs) / 1000 + after.amount;
  const byHand = (running * REACTION_SPREAD_MS) / 1000;
  const byFlow = (unevenness * (REACTION_MS + habit.lagMs)) / 1000;
  const doubt = Math.hypot(byHand, byFlow, after.scatter, d / 2);
  return { arrived, running, net, doubt, wholeDoubt: Math.hypot(doubt, after.unknown), isKnown: after.isKnown };
}
