/**
 * The opponent: a careful person who watches only the number, which lags. Defined before the cues were tuned, by how
 * people brake towards anything: by the time that is left until contact as they see it (D. N. Lee, "A theory of visual
 * control of braking", Perception 5, 1976; from memory). They slow down twice, stop a little before the target, and get
 * better with each pour of the same ingredient: by how much they stop early they take from what came of it.
 */
import type { Random } from '../../src/simulate/seededRandom.ts';
import type { Pace } from './pourStuff.ts';

/** Seconds to contact at which a person eases off, and at which they let it drip; each pour a little otherwise. */
const EASE_S = 2;
const DRIPS_S = 1.2;
const SPREAD = 0.25;
/** Before they know the ingredient they stop early by so many seconds of the flow that they see. */
const FIRST_GUESS_S = 0.4;
/** How much of the last miss they correct the next time. */
const LEARNS = 0.5;
/** How far back the number is watched to see how fast it runs, milliseconds. */
const GLANCE_MS = 600;

export interface Aim {
  readonly low: number;
  readonly target: number;
  readonly high: number;
  readonly d: number;
}

export interface Watcher {
  /** A new pour begins. */
  begin(aim: Aim): void;
  /** What the hand should do, by the number that is seen now; `resting`: the scale has settled at it. */
  look(at: number, shown: number, resting: boolean): Pace;
  /** The first pour came to rest here after the stop. */
  learn(ended: number): void;
}

export function createWatcher(random: Random): Watcher {
  let aim: Aim = { low: 0, target: 0, high: 0, d: 1 };
  let seen: { readonly at: number; readonly shown: number }[] = [];
  let pace: Pace = 'full';
  let [ease, drips] = [EASE_S, DRIPS_S];
  /** By how much they stop early, micrograms; undefined before the first pour. */
  let early: number | undefined;
  let usedEarly = 0;
  let topUpTo: number | undefined;
  const some = () => Math.exp(SPREAD * random.normal());

  return {
    begin(next) {
      aim = next;
      seen = [];
      pace = 'full';
      topUpTo = undefined;
      [ease, drips] = [EASE_S * some(), DRIPS_S * some()];
    },
    look(at, shown, resting) {
      seen = [...seen.filter((each) => each.at >= at - GLANCE_MS), { at, shown }];
      const first = seen[0] ?? { at, shown };
      const flow = at > first.at ? Math.max(0, (shown - first.shown) / ((at - first.at) / 1000)) : 0;
      const left = aim.target - shown;
      if (pace === 'stopped') {
        if (!resting || shown >= aim.low) return pace;
        // Short: add about half of what is missing, carefully.
        topUpTo = shown + Math.max(2 * aim.d, left / 2);
        pace = 'drips';
        return pace;
      }
      if (topUpTo === undefined) usedEarly = early ?? FIRST_GUESS_S * flow;
      const stopAt = topUpTo ?? aim.target - usedEarly;
      if (shown >= Math.min(stopAt, aim.high)) pace = 'stopped';
      else if (pace === 'full' && left < ease * flow) pace = 'eased';
      else if (pace === 'eased' && left < drips * flow) pace = 'drips';
      return pace;
    },
    learn(ended) {
      early = Math.max(0, usedEarly + LEARNS * (ended - aim.target));
    },
  };
}
