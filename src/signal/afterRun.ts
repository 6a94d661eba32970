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

/** One pour teaches nothing: it may have been odd. Of two the smaller is believed, of more the median. */
export const LEAST_POURS = 2;
/** Only so many of the latest count: a new jar, another hand, a warmer room are soon believed. */
export const MOST_POURS = 15;
/** Standard deviation of a normal spread from its median absolute deviation: 1 / 0.6745 (any text on robust statistics). */
const SIGMA_PER_MAD = 1.4826;
/** How far one after-run is off another of the same flow, as a share of it (common practice, no source). */
const AFTER_SPREAD = 0.3;
/** What nothing is known of is taken to run on for so many milliseconds of its flow (chosen with the pour bench). */
export const UNKNOWN_AFTER_MS = 200;
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
  /** Standard deviation, micrograms. */
  readonly scatter: number;
  /** False: too few pours were stopped at such a flow. `amount` is then what slower ones told, and may be too small. */
  readonly isKnown: boolean;
}

/** The after-run at a flow (micrograms per second), by the pours that were stopped at about that flow. */
export function afterRunAt({ seen, briskest }: AfterRun, flow: number): Foretold {
  const floor = Math.max(1, TRICKLE * briskest);
  const asked = Math.max(flow, floor);
  const ratioOf = (pour: { readonly flow: number }) => Math.max(pour.flow, floor) / asked;
  const near = seen.filter((pour) => ratioOf(pour) <= ALIKE && ratioOf(pour) >= 1 / ALIKE);
  if (near.length >= LEAST_POURS) return { ...middleOf(near), isKnown: true };
  const slower = seen.filter((pour) => ratioOf(pour) <= 1);
  if (slower.length >= LEAST_POURS) return { ...middleOf(slower), isKnown: false };
  return { amount: (flow * UNKNOWN_AFTER_MS) / 1000, scatter: 0, isKnown: false };
}

/** @param pours at least two */
function middleOf(pours: readonly { readonly beyond: number }[]): Omit<Foretold, 'isKnown'> {
  const values = pours.map(({ beyond }) => beyond);
  const amount = values.length === 2 ? Math.min(...values) : medianOf(values);
  // A few pours may have been alike by luck.
  const few = Math.sqrt((values.length + 1) / (values.length - 1));
  const scatter = few * SIGMA_PER_MAD * medianOf(values.map((each) => Math.abs(each - amount)));
  return { amount, scatter: Math.max(scatter, AFTER_SPREAD * Math.abs(amount)) };
}
