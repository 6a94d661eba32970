/**
 * After-run: what still comes after the hand has stopped, by ingredient, learnt from earlier pours. Medians, so that a
 * pour that went otherwise (topped up, bumped, the cue not heeded) turns nothing.
 */
import type { Mass } from '../mass/mass.ts';
import { medianOf } from './median.ts';
import { REACTION_MS } from './reaction.ts';

/** How a pour stood when `stop` was said. */
export interface StopSaid {
  /** The flow that was reckoned with, micrograms per second. */
  readonly flow: number;
  /** What was in the vessel, the scale's lag taken off. */
  readonly arrived: Mass;
  /** The largest flow of the pour up to then, micrograms per second. */
  readonly briskest: number;
}

/** The same, with what came of it. */
export interface PourSeen extends StopSaid {
  /** The net weight at which it came to rest. */
  readonly ended: Mass;
}

/** What came after the hand had stopped, in earlier pours of an ingredient. */
export interface AfterRun {
  /** The largest flow of such pours, micrograms per second; 0: not known. */
  readonly briskest: number;
  /** By pour: the flow that was stopped, micrograms per second, and what came beyond it, micrograms. */
  readonly seen: readonly { readonly flow: number; readonly beyond: number }[];
}

/** Nothing was poured yet. */
export const NO_AFTER_RUN: AfterRun = { briskest: 0, seen: [] };

/** From so many pours on it counts as known: of two the median with the guess, of more their own. */
export const LEAST_POURS = 2;
/** Only so many of the latest count: a new jar, another hand, a warmer room are soon believed. */
export const MOST_POURS = 15;
/** Standard deviation of a normal spread from its median absolute deviation: 1 / 0.6745 (any text on robust statistics). */
const SIGMA_PER_MAD = 1.4826;
/** How far one after-run is off another of the same flow, as a share of it (common practice, no source). */
const AFTER_SPREAD = 0.3;
/**
 * What nothing is known of: an even stream is taken to run on for so many milliseconds of its flow, and pieces for none,
 * give or take (chosen with the pour bench).
 */
export const STREAM_AFTER_MS = 600;
const UNKNOWN_SPREAD_MS = 300;
/** A single pour may have been odd: it is believed up to so many guesses and so many milliseconds of the flow. */
const SINGLE_GUESSES = 3;
const SINGLE_MORE_MS = 200;
/** What is left of the not knowing after a single pour. */
const SINGLE_LEAVES = 0.7;
/** Pours were stopped at about the same flow when neither is so many times the other. */
const ALIKE = 2;
/** All flows below this share of the briskest count as the same: drops and pinches have no flow. */
const TRICKLE = 0.1;

/** @param pours oldest first */
export function learnAfterRun(pours: readonly PourSeen[]): AfterRun {
  const latest = pours.slice(-MOST_POURS);
  const seen = latest.map(({ flow, arrived, ended }) => ({
    flow,
    beyond: ended - arrived - (flow * REACTION_MS) / 1000,
  }));
  return { seen, briskest: latest.length < LEAST_POURS ? 0 : medianOf(latest.map(({ briskest }) => briskest)) };
}

export interface Foretold {
  /** Micrograms, at the flow that was asked for. */
  readonly amount: number;
  /** Standard deviation from pour to pour, micrograms. */
  readonly scatter: number;
  /** Standard deviation by not knowing the ingredient at such a flow, micrograms. */
  readonly unknown: number;
  /** False: too few pours were stopped at such a flow. */
  readonly isKnown: boolean;
}

/**
 * The after-run at a flow, by the pours that were stopped at about that flow.
 * @param flow micrograms per second
 * @param evenness 1 an even stream, 0 pieces (`grain.ts`): guesses what no pour has told yet
 */
export function afterRunAt({ seen, briskest }: AfterRun, flow: number, evenness: number): Foretold {
  const floor = Math.max(1, TRICKLE * briskest);
  const asked = Math.max(flow, floor);
  const ratioOf = (pour: { readonly flow: number }) => Math.max(pour.flow, floor) / asked;
  const near = seen.filter((pour) => ratioOf(pour) <= ALIKE && ratioOf(pour) >= 1 / ALIKE);
  const guess = (evenness * flow * STREAM_AFTER_MS) / 1000;
  const unknown = (flow * UNKNOWN_SPREAD_MS) / 1000;
  if (near.length >= LEAST_POURS) return { ...middleOf(near, guess), unknown: 0, isKnown: true };
  const [single] = near;
  if (single) {
    const most = SINGLE_GUESSES * guess + (flow * SINGLE_MORE_MS) / 1000;
    const believed = Math.max(0, Math.min(single.beyond, most));
    return { amount: (guess + believed) / 2, scatter: 0, unknown: SINGLE_LEAVES * unknown, isKnown: false };
  }
  // What slower ones told may be too small, but it is of this ingredient.
  const slower = seen.filter((pour) => ratioOf(pour) <= 1);
  if (slower.length >= LEAST_POURS) return { ...middleOf(slower, guess), unknown, isKnown: false };
  return { amount: guess, scatter: 0, unknown, isKnown: false };
}

/** @param pours at least two; between two the guess decides */
function middleOf(pours: readonly { readonly beyond: number }[], guess: number): { amount: number; scatter: number } {
  const values = pours.map(({ beyond }) => beyond);
  const amount = medianOf(values.length === 2 ? [...values, guess] : values);
  // A few pours may have been alike by luck.
  const few = Math.sqrt((values.length + 1) / (values.length - 1));
  const scatter = few * SIGMA_PER_MAD * medianOf(values.map((each) => Math.abs(each - amount)));
  return { amount, scatter: Math.max(scatter, AFTER_SPREAD * Math.abs(amount)) };
}
