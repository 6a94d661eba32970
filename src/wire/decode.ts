/** One line from a scale -> what it says. It never throws and never guesses: what does not fit is refused. */
import { cleanText } from '../facts/cleanText.ts';
import { cutToWidth } from '../facts/textWidth.ts';
import { readMass } from '../mass/text.ts';
import type { Profile } from './profile.ts';
import type { Decoded } from './reading.ts';
import type { Line } from './receiver.ts';

/** No scale sends longer lines; checked before the pattern runs, so that a hostile line costs no time. */
export const LONGEST_LINE = 200;
/** Columns of a line that are kept to show it. */
const LONGEST_SHOWN = 120;

/**
 * Decodes one complete line (without its ending).
 *
 * A line is a reading only when it fits the profile's pattern as a whole, its status word and its unit are words of
 * the profile, and its number is a plain decimal. A unit other than the expected one is decoded exactly, for the
 * signal to notice: nothing is converted quietly.
 * @param at when the line was complete, monotonic milliseconds
 */
export function decode(profile: Profile, line: string, at: number): Decoded {
  const raw = printable(line);
  const refused = (why: string): Decoded => ({ kind: 'refused', why, at, raw });
  if (line.length > LONGEST_LINE) return refused(`a line of ${line.length} characters is too long for a scale`);
  const found = profile.pattern.exec(line);
  if (!found) return refused(`the line does not have the shape of the profile "${profile.id}"`);
  const groups: Readonly<Record<string, string | undefined>> = found.groups ?? {};

  const statusWord = groups.status?.trim() ?? '';
  const status = statusWord === '' ? profile.noStatus : profile.status.get(statusWord);
  if (statusWord !== '' && status === undefined) {
    return refused(`the profile "${profile.id}" does not know the status word "${printable(statusWord)}"`);
  }
  if (status === 'over-range' || status === 'under-range' || status === 'fault') {
    return { kind: 'condition', condition: status, at, raw };
  }

  const unitWord = groups.unit?.trim() ?? '';
  const unit = unitWord === '' ? profile.blankUnit?.unit : profile.units.get(unitWord);
  if (unit === undefined) {
    return refused(
      unitWord === ''
        ? 'the line has no unit'
        : `the profile "${profile.id}" does not know the unit "${printable(unitWord)}"`,
    );
  }

  const digits = pointed(groups.number?.trim() ?? '', profile.decimal);
  const weight = digits === undefined ? undefined : readMass((groups.sign?.trim() ?? '') + digits, unit);
  if (weight === undefined) return refused('the line has no plain decimal number');

  const lowSupply = status === 'low-supply' ? true : undefined;
  const flags = [status === undefined || lowSupply ? undefined : status === 'stable'];
  if (profile.blankUnit?.moving) flags.push(unitWord !== '');
  return { kind: 'reading', reading: { mass: weight, unit, stable: allSay(flags), lowSupply, at, raw } };
}

/** Decodes a line as it was received: one that was damaged on the way is refused, whatever it says. */
export function decodeLine(profile: Profile, { text, at, fault }: Line): Decoded {
  return fault === undefined ? decode(profile, text, at) : { kind: 'refused', why: fault, at, raw: printable(text) };
}

/** Foreign text as it may be printed. */
function printable(text: string): string {
  return cutToWidth(cleanText(text.slice(0, LONGEST_LINE)), LONGEST_SHOWN);
}

/** The number with a decimal point; undefined when it has the other kind of mark. */
function pointed(number: string, decimal: Profile['decimal']): string | undefined {
  if (decimal === 'point') return number;
  return number.includes('.') ? undefined : number.replace(',', '.');
}

/** True when every voice that speaks says settled, false when one says moving, undefined when none speaks. */
function allSay(flags: readonly (boolean | undefined)[]): boolean | undefined {
  if (flags.includes(false)) return false;
  return flags.includes(true) ? true : undefined;
}
