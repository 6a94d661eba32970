/**
 * Follows the pour of the present draw beside the chart, which sees no samples: the cue and the landing for the screen,
 * and the note and the trace of how it went for the log. What it learns in a batch counts at once.
 */
import type { Happened, PourNote } from '../facts/fact.ts';
import { type Mass, mass } from '../mass/mass.ts';
import type { PlannedDraw } from '../plan/model.ts';
import { afterRunAt, learnAfterRun, type PourSeen } from '../signal/afterRun.ts';
import { type Aim, type Cue, type CueState, NO_CUE, stepCue } from '../signal/cue.ts';
import { evennessOf, NO_GRAIN } from '../signal/grain.ts';
import { lagOfStep, learnLag } from '../signal/lag.ts';
import type { PourHabit } from '../signal/landing.ts';
import { medianOf } from '../signal/median.ts';
import type { Sample } from '../signal/settled.ts';
import { createPourTracer } from './pourTrace.ts';

/** What earlier pours left in the log, oldest first. */
export interface Learnt {
  /** By scale: time constants, milliseconds. */
  readonly lags: Readonly<Record<string, readonly number[]>>;
  /** By ingredient. */
  readonly pours: Readonly<Record<string, readonly PourSeen[]>>;
}

export const NOTHING_LEARNT: Learnt = { lags: {}, pours: {} };

/** What is told of a pour now. */
export interface Told {
  readonly cue: Cue | null;
  /** The net weight that it would end at if the hand were told to stop now; undefined while nothing flows. */
  readonly landing: Mass | undefined;
  /** What usually runs on after the stop, and from how many pours that was learnt; undefined: not known. */
  readonly runsOn: { readonly amount: Mass; readonly pours: number } | undefined;
}

export const NOTHING_TOLD: Told = { cue: null, landing: undefined, runsOn: undefined };

export interface PourWatch {
  /** A reading of the present draw's scale. */
  reading(draw: PlannedDraw, base: Mass, aim: Aim, at: number, net: Mass, resting: boolean): void;
  /** The present draw's scale shows this net weight of it, whatever is being done. */
  shown(draw: string, at: number, net: Mass, d: Mass, isHeld: boolean): void;
  /** The pan of a scale has come to rest after these readings: a vessel put on tells how the scale answers. */
  rested(scale: string, samples: readonly Sample[], d: Mass): void;
  /** Nothing is being poured. */
  pause(): void;
  /** Adds the note and the trace of the pour to an accepted weight. */
  noted(happened: Happened): Happened;
  /** An accepted weight is in the log: its pour counts from now on. */
  learn(happened: Happened): void;
  /** @returns what is told of this draw */
  told(draw: string): Told;
}

export function createPourWatch(learnt: Learnt): PourWatch {
  const lags = new Map(Object.entries(learnt.lags));
  const pours = new Map(Object.entries(learnt.pours));
  /** Lags that no accepted weight has noted yet. */
  const newLags = new Map<string, number>();
  const tracer = createPourTracer();
  let current: { readonly draw: string; readonly ingredient: string; readonly base: Mass; state: CueState } | undefined;
  let habit: PourHabit | undefined;

  const habitOf = ({ scale, ingredient }: PlannedDraw): PourHabit => ({
    lagMs: learnLag(lags.get(scale) ?? []),
    afterRun: learnAfterRun(pours.get(ingredient) ?? []),
  });

  return {
    reading(draw, base, aim, at, net, resting) {
      if (current?.draw !== draw.id || current.base !== base) {
        current = { draw: draw.id, ingredient: draw.ingredient, base, state: NO_CUE };
        habit = habitOf(draw);
      }
      habit ??= habitOf(draw);
      current.state = stepCue(current.state, { at, net, resting }, aim, habit);
    },
    shown: tracer.seen,
    rested(scale, samples, d) {
      const lag = lagOfStep(samples, d);
      if (lag === undefined) return;
      lags.set(scale, [...(lags.get(scale) ?? []), lag]);
      newLags.set(scale, lag);
    },
    pause() {
      if (current?.state.cue) current.state = { ...current.state, cue: null, landing: undefined, window: [] };
    },
    noted(happened) {
      if (happened.kind !== 'weighed') return happened;
      const stop = current?.draw === happened.draw ? (current.state.seen ?? null) : null;
      const pour: PourNote = { lagMs: newLags.get(happened.scale) ?? null, stop };
      const trace = tracer.of(happened.draw);
      const isNoted = pour.lagMs !== null || stop !== null;
      return { ...happened, ...(isNoted ? { pour } : {}), ...(trace ? { trace } : {}) };
    },
    learn(happened) {
      if (happened.kind === 'placed') tracer.begin();
      if (happened.kind !== 'weighed') return;
      const stop = happened.pour?.stop;
      if (stop) pours.set(happened.ingredient, [...(pours.get(happened.ingredient) ?? []), stop]);
      newLags.delete(happened.scale);
      current = undefined;
      tracer.begin();
    },
    told(draw) {
      if (current?.draw !== draw) return NOTHING_TOLD;
      const { cue, landing } = current.state;
      return { cue, landing, runsOn: habit && runsOn(habit) };
    },
  };
}

function runsOn({ afterRun }: PourHabit): Told['runsOn'] {
  if (afterRun.seen.length === 0) return undefined;
  const usual = medianOf(afterRun.seen.map(({ flow }) => flow));
  const { amount, isKnown } = afterRunAt(afterRun, usual, evennessOf(NO_GRAIN));
  return isKnown ? { amount: mass(Math.max(0, Math.round(amount))), pours: afterRun.seen.length } : undefined;
}
