/** The proof: all that was heard, read again by the finished profile, must agree with what the display showed. */
import { type Mass, mass } from '../mass/mass.ts';
import { MICROGRAMS_IN, toMicrograms } from '../mass/units.ts';
import { decodeLine } from '../wire/decode.ts';
import type { Profile } from '../wire/profile.ts';
import type { Reading } from '../wire/reading.ts';
import { receive } from './findFraming.ts';
import { type Display, stoodStill } from './findWeight.ts';
import type { Heard } from './model.ts';
import type { WireUnit } from './shownNumber.ts';

/** This share of the lines may be damaged. */
const MOST_REFUSED = 0.03;
/** A pan left alone, once its maker called it still, may wander by so many last places, or by so much of its load. */
const WANDER = { places: 20, share: 0.01 };

/**
 * @param leftOut readings that were not learnt from, so they may be refused
 * @returns what does not agree, the end of a sentence; undefined: all does
 */
export function disproof(
  profile: Profile,
  heard: readonly Heard[],
  displays: readonly Display[],
  unit: WireUnit,
  leftOut: number,
): string | undefined {
  let exact = 0;
  let refused = 0;
  let lines = 0;
  const readings = new Map<Heard, Reading[]>();
  for (const each of heard) {
    const here: Reading[] = [];
    for (const line of receive(profile, each)) {
      lines += 1;
      const decoded = decodeLine(profile, line);
      if (decoded.kind === 'reading') here.push(decoded.reading);
      else if (line.fault === undefined) refused += 1;
    }
    readings.set(each, here);
  }
  if (refused > leftOut + Math.max(1, MOST_REFUSED * lines)) return `${refused} of ${lines} lines do not fit it`;
  for (const { heard: each, number } of displays) {
    const here = readings.get(each) ?? [];
    const late = here.filter(({ at }) => at >= stoodStill(each));
    const settled = late.length > 0 ? late : here.slice(-1);
    const shown = toMicrograms(number.digits, number.scale, unit);
    const room = wander(shown, Math.max(number.scale, ...settled.map((reading) => decimalsIn(reading.raw))), unit);
    if (settled.length === 0 || settled.some((reading) => reading.unit !== unit)) {
      return 'none of its weights is what the display showed';
    }
    exact += settled.some((reading) => reading.mass === shown) ? 1 : 0;
    if (settled.some((reading) => Math.abs(reading.mass - shown) > room)) {
      return 'some of its weights are far from what the display showed';
    }
  }
  return exact === 0 ? 'none of its weights is what the display showed' : undefined;
}

function decimalsIn(raw: string): number {
  return Math.max(0, ...[...raw.matchAll(/\d[.,](\d+)/g)].map(([, digits = '']) => digits.length));
}

function wander(shown: Mass, scale: number, unit: WireUnit): Mass {
  const { numerator, denominator } = MICROGRAMS_IN[unit];
  const place = Number(numerator) / Number(denominator) / 10 ** scale;
  return mass(Math.round(WANDER.places * place + WANDER.share * Math.abs(shown)));
}
