/** Hands, jars, scales and bands drawn by chance around the kinds of `pourStuff.ts` and `pourHand.ts`. */
import { type Mass, mass } from '../../src/mass/mass.ts';
import { lagOfStep } from '../../src/signal/lag.ts';
import type { Sample } from '../../src/signal/settled.ts';
import { createInstrument } from '../../src/simulate/instrument.ts';
import type { Random } from '../../src/simulate/seededRandom.ts';
import type { HandKind } from './pourHand.ts';
import type { Band, PourScale } from './pourRun.ts';
import type { Stuff } from './pourStuff.ts';

function around(value: number, spread: number, random: Random): number {
  return value * Math.exp(spread * random.normal());
}

/** One jar of such an ingredient: no two pour alike. */
export function someJar(stuff: Stuff, random: Random): Stuff {
  const times = around(1, 0.25, random);
  const { rate, after } = stuff;
  return {
    ...stuff,
    rate: { full: rate.full * times, eased: rate.eased * times, drips: rate.drips * around(times, 0.2, random) },
    uneven: around(stuff.uneven, 0.2, random),
    after: {
      ...after,
      grams: around(after.grams, 0.4, random),
      seconds: around(after.seconds, 0.4, random),
      tauMs: around(after.tauMs, 0.2, random),
    },
  };
}

export function someHand(kind: HandKind, random: Random): HandKind {
  return {
    ...kind,
    reactionMs: around(kind.reactionMs, 0.15, random),
    tempo: around(kind.tempo, 0.15, random),
    unevenness: around(kind.unevenness, 0.15, random),
  };
}

export function someScale(stuff: Stuff, random: Random): PourScale {
  const d = mass(stuff.scale === 'bench' ? 100_000 : 10_000);
  return { d, capacity: mass(50_000 * d), lagMs: 200 + 400 * random.next() };
}

export function someBand({ grams: [least, most], bandPercent }: Stuff, d: Mass, random: Random): Band {
  const target = Math.round((least * (most / least) ** random.next() * 1e6) / d) * d;
  const half = Math.max(d, Math.floor((target * bandPercent) / 100 / d) * d);
  return { low: mass(target - half), target: mass(target), high: mass(target + half) };
}

const VESSEL = mass(150_000_000);

/** The lags that the program would see when vessels are put on such a scale. */
export function lagsSeen({ d, capacity, lagMs }: PourScale, times: number, random: Random): number[] {
  return Array.from({ length: times }, () => {
    const loadAt = (at: number) => (at < 1000 ? mass(0) : VESSEL);
    const instrument = createInstrument({ d, capacity, lagMs, noise: mass(Math.round(d / 5)) }, loadAt, random);
    const samples: Sample[] = instrument.advance(6000).map(({ at, number }) => ({
      at,
      gross: mass(Number(number.digits) * 10 ** (6 - number.scale)),
      stable: undefined,
    }));
    return lagOfStep(samples.slice(8), d);
  }).filter((lag) => lag !== undefined);
}
