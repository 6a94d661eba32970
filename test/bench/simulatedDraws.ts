/** Draws on simulated scales whose true masses are known, in virtual time, through the real signal and the real budget. */

import { driftBound, usualSeries, weighingBudget } from '../../src/accept/budget.ts';
import { checkLimits } from '../../src/accept/checkLimits.ts';
import { type CheckWeight, weightError } from '../../src/accept/checkWeights.ts';
import { type CheckJudgement, type CheckRow, judgeCheck } from '../../src/accept/scaleCheck.ts';
import { type Mass, mass, minus, size, ZERO } from '../../src/mass/mass.ts';
import { toMicrograms } from '../../src/mass/units.ts';
import type { Happening } from '../../src/signal/happening.ts';
import { type SignalConfig, STILL, step } from '../../src/signal/signal.ts';
import { createInstrument } from '../../src/simulate/instrument.ts';
import type { Random } from '../../src/simulate/seededRandom.ts';

/** A made-up scale. What the maker can't see: how it errs. */
export interface SimulatedScale {
  readonly d: Mass;
  readonly capacity: Mass;
  /** Standard deviation of the display's tremble before rounding, micrograms. */
  readonly tremble: number;
  /** Standard deviation from one loading to the next, micrograms. */
  readonly scatter: number;
  readonly lagMs: number;
  /** The zero wanders by this much a second, micrograms. */
  readonly driftPerSecond: number;
  /** It shows so many millionths too much. */
  readonly slopePpm: number;
  /** Repeatability as the workshop states it; undefined where the maker does not know it. */
  readonly stated: Mass | undefined;
}

/** One accepted weight beside the truth. */
export interface Judged {
  readonly error: number;
  readonly uncertainty: Mass;
}

const STEP_MS = 50;
const LONGEST_WAIT_MS = 30_000;

/** A scale with its signal, in virtual time. */
function createSeat(scale: SimulatedScale, random: Random) {
  let now = 0;
  let truth = (_: number): number => 0;
  let offset = 0;
  let state = STILL;
  const loadAt = (at: number): Mass =>
    mass(Math.round(truth(at) * (1 + scale.slopePpm / 1e6) + offset + (scale.driftPerSecond * at) / 1000));
  const { d, capacity, lagMs } = scale;
  const instrument = createInstrument({ d, capacity, lagMs, noise: mass(Math.round(scale.tremble)) }, loadAt, random);
  const config: SignalConfig = {
    scale: 'sim',
    d,
    repeatability: scale.stated,
    rhythm: 'continuous',
    linesPerSecond: 10,
    unit: 'g',
    dwellMs: 1500,
  };

  /** Lets time pass until the signal tells this; undefined when it does not within a patient time. */
  function until<K extends Happening['kind']>(kind: K): Extract<Happening, { kind: K }> | undefined {
    for (const end = now + LONGEST_WAIT_MS; now < end; ) {
      now += STEP_MS;
      let found: Happening | undefined;
      for (const { at, number, unit, stable } of instrument.advance(now)) {
        const reading = { mass: toMicrograms(number.digits, number.scale, unit), unit, stable, at, raw: '' };
        const stepped = step(state, { kind: 'reading', reading }, config);
        state = stepped.state;
        found ??= stepped.happenings.find((each) => each.kind === kind);
      }
      if (found) return found as Extract<Happening, { kind: K }>;
    }
    return undefined;
  }

  return {
    /** Puts a true mass on the pan, over so long. Each change of the load is a new loading, with its own scatter. */
    load(to: number, overMs = 0): void {
      const from = truth(now);
      const begun = now;
      offset = to === 0 ? 0 : scale.scatter * random.normal();
      truth = (at) => (overMs === 0 ? to : from + (to - from) * Math.min(1, (at - begun) / overMs));
      // What is said while it still pours is not waited for.
      for (const end = now + overMs; now < end; ) {
        now += STEP_MS;
        for (const { at, number, unit, stable } of instrument.advance(now)) {
          const reading = { mass: toMicrograms(number.digits, number.scale, unit), unit, stable, at, raw: '' };
          state = step(state, { kind: 'reading', reading }, config).state;
        }
      }
    },
    until,
  };
}

/** The daily check, as the program does it: one weight, then a series. undefined: it would not come to rest. */
function checked(seat: ReturnType<typeof createSeat>, scale: SimulatedScale, weight: CheckWeight, random: Random) {
  const limits = checkLimits(scale, 'oiml');
  const tolerance = weightError(weight) ?? ZERO;
  const truth = weight.nominal + (2 * random.next() - 1) * tolerance;
  const rows: CheckRow[] = [];
  for (let turn = 0; turn <= usualSeries(scale.stated); turn++) {
    seat.load(truth);
    const level = seat.until('dwelt');
    if (!level) return undefined;
    const permissible = limits?.at(weight.nominal) ?? ZERO;
    rows.push({ kind: turn === 0 ? 'weight' : 'repeat', nominal: weight.nominal, shown: level.load, permissible });
    seat.load(0);
    if (!seat.until('emptied')) return undefined;
  }
  return judgeCheck(rows, [weight], scale.d);
}

/**
 * A check, if wished, and so many draws on one scale: vessel on, poured, read, off.
 * @returns undefined for a draw that would not come to rest: nothing is accepted then
 */
export function drawsOn(
  scale: SimulatedScale,
  count: number,
  random: Random,
  weight?: CheckWeight,
): (Judged | undefined)[] {
  const seat = createSeat(scale, random);
  let zero = seat.until('emptied')?.zero;
  const found: CheckJudgement | undefined = weight && checked(seat, scale, weight, random);
  const draws: (Judged | undefined)[] = [];
  for (let index = 0; index < count; index++) {
    const tare = scale.capacity * (0.02 + 0.2 * random.next());
    const poured = scale.capacity * 10 ** (-3 + 2.7 * random.next());
    seat.load(0);
    const emptied = seat.until('emptied');
    const shift = emptied && zero !== undefined ? size(minus(emptied.zero, zero)) : ZERO;
    zero = emptied?.zero ?? zero;
    seat.load(tare);
    const before = seat.until('dwelt');
    seat.load(tare + poured, 3000 + 5000 * random.next());
    const after = seat.until('dwelt');
    seat.load(0);
    if (!before || !after) {
      draws.push(undefined);
      continue;
    }
    const net = minus(after.load, before.load);
    const { uncertainty } = weighingBudget({
      net,
      d: scale.d,
      stated: scale.stated ?? null,
      measured: found?.repeatability ?? null,
      weighings: usualSeries(scale.stated),
      drift: driftBound(shift, scale.d),
      slope: found?.slopePpm == null ? null : { boundPpm: found.slopePpm, standardPpm: found.slopeStandardPpm },
    });
    draws.push({ error: net - poured, uncertainty });
  }
  return draws;
}
