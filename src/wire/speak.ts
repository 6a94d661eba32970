/** What a display shows -> the line that a wire profile gives it. The opposite of `decode.ts`, for simulated scales. */
import type { Decimal } from '../mass/text.ts';
import type { Unit } from '../mass/units.ts';
import type { Profile, StatusMeaning } from './profile.ts';
import type { Condition } from './reading.ts';

/** What stands on a scale's display. */
export interface Display {
  readonly number: Decimal;
  readonly unit: Unit;
  readonly stable: boolean;
  /** Its battery or mains is low; said where the profile has a word for it. */
  readonly lowSupply?: boolean | undefined;
  /** Set when it shows no weight. */
  readonly condition: Condition | undefined;
}

/**
 * The line (without its ending) by which a profile says what the display shows.
 *
 * Places in the profile's templates: `{status}`, `{sign}` (`+` or `-`), `{minus}` (`-` or a space), `{number}` and
 * `{unit}`; `{number:8}` pads on the left to 8 characters (`{number:08}` with zeros), the others pad on the right. A
 * number carries its own `-` when the template has neither `{sign}` nor `{minus}`.
 * @returns undefined when the profile has no word for it: such a scale then sends nothing
 */
export function speak(profile: Profile, shown: Display): string | undefined {
  if (profile.writes === undefined) return undefined;
  const { weight, noWeight } = profile.writes;
  const template = shown.condition === undefined ? weight : noWeight;
  if (template === undefined) return undefined;
  const words = {
    status: statusWord(profile, meaningOf(profile, shown)),
    unit: unitWord(profile, shown),
  };
  if (template.includes('{status') && words.status === undefined) return undefined;
  if (template.includes('{unit') && words.unit === undefined) return undefined;
  const negative = shown.number.digits < 0n;
  const signed = /\{(sign|minus)/.test(template);
  return template.replace(PLACE, (_place, name: string, width: string | undefined) => {
    const wide = Number(width ?? 0);
    switch (name) {
      case 'sign':
        return negative ? '-' : '+';
      case 'minus':
        return negative ? '-' : ' ';
      case 'number':
        return number(negative && !signed ? '-' : '', digitsOf(profile, shown), width ?? '');
      case 'status':
        return (words.status ?? '').padEnd(wide);
      default:
        return (words.unit ?? '').padEnd(wide);
    }
  });
}

function number(minus: string, digits: string, width: string): string {
  const wide = Number(width);
  return width.startsWith('0') ? minus + digits.padStart(wide - minus.length, '0') : (minus + digits).padStart(wide);
}

/** The places of a template. */
export const PLACE = /\{(status|sign|minus|number|unit)(?::(\d{1,2}))?\}/g;

function meaningOf(profile: Profile, { condition, lowSupply, stable }: Display): StatusMeaning {
  if (condition !== undefined) return condition;
  const hasWord = [...profile.status.values()].includes('low-supply');
  if (lowSupply && hasWord) return 'low-supply';
  return stable ? 'stable' : 'moving';
}

function statusWord(profile: Profile, meaning: StatusMeaning): string | undefined {
  for (const [word, means] of profile.status) if (means === meaning) return word;
  if (meaning === 'stable' || meaning === 'moving') return '';
  return undefined;
}

function unitWord(profile: Profile, { unit, stable }: Pick<Display, 'unit' | 'stable'>): string | undefined {
  if (profile.blankUnit?.moving && !stable) return '';
  for (const [word, means] of profile.units) if (means === unit) return word;
  return profile.blankUnit?.unit === unit ? '' : undefined;
}

function digitsOf(profile: Profile, { number }: Pick<Display, 'number'>): string {
  const bare = (number.digits < 0n ? -number.digits : number.digits).toString().padStart(number.scale + 1, '0');
  if (number.scale === 0) return bare;
  const mark = profile.decimal === 'point' ? '.' : ',';
  return bare.slice(0, -number.scale) + mark + bare.slice(-number.scale);
}
