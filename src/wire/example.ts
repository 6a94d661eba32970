/** The examples in a wire profile: a line and what it means. They are its own test, run whenever it is read. */
import { type Mass, ZERO } from '../mass/mass.ts';
import { readDecimal, readMass } from '../mass/text.ts';
import { isUnit, type Unit } from '../mass/units.ts';
import { fitsFrame } from './cutting.ts';
import { decode } from './decode.ts';
import type { Profile } from './profile.ts';
import type { Condition, Decoded } from './reading.ts';
import { type Display, speak } from './speak.ts';

export interface Example {
  readonly line: string;
  /** `12.5 g stable`, `12.5 g moving`, `12.5 g low-supply`, `12.5 g`, `over-range`, `under-range`, `fault` or `refused`. */
  readonly means: string;
}

/** An example's meaning: a weight, a condition, or that the line is refused. */
type Meaning =
  | {
      readonly kind: 'reading';
      readonly mass: Mass;
      readonly unit: Unit;
      readonly stable: boolean | undefined;
      readonly lowSupply: boolean;
      readonly number: Display['number'];
    }
  | { readonly kind: 'condition'; readonly condition: Condition }
  | { readonly kind: 'refused' };

function readMeaning(means: string): Meaning | undefined {
  if (means === 'refused') return { kind: 'refused' };
  if (means === 'over-range' || means === 'under-range' || means === 'fault') {
    return { kind: 'condition', condition: means };
  }
  const [digits = '', unit = '', rest, ...more] = means.split(' ');
  if (!isUnit(unit) || more.length > 0) return undefined;
  const lowSupply = rest === 'low-supply';
  if (rest !== undefined && rest !== 'stable' && rest !== 'moving' && !lowSupply) return undefined;
  const number = readDecimal(digits);
  const mass = readMass(digits, unit);
  if (number === undefined || mass === undefined) return undefined;
  const stable = rest === undefined || lowSupply ? undefined : rest === 'stable';
  return { kind: 'reading', mass, unit, stable, lowSupply, number };
}

function agrees(decoded: Decoded, meaning: Meaning): boolean {
  if (meaning.kind === 'condition') return decoded.kind === 'condition' && decoded.condition === meaning.condition;
  if (meaning.kind === 'refused' || decoded.kind !== 'reading') return decoded.kind === meaning.kind;
  const { mass, unit, stable, lowSupply = false } = decoded.reading;
  const { mass: of, unit: by, stable: rests, lowSupply: low } = meaning;
  return mass === of && unit === by && stable === rests && lowSupply === low;
}

/** What a line was decoded to, in the words of the examples. */
export function inWords(decoded: Decoded): string {
  if (decoded.kind === 'refused') return `refused: ${decoded.why}`;
  if (decoded.kind === 'condition') return decoded.condition;
  const { mass, unit, stable, lowSupply } = decoded.reading;
  const rest = stable === undefined ? '' : stable ? ', stable' : ', moving';
  return `${mass / 1e6} g sent in ${unit}${rest}${lowSupply ? ', low-supply' : ''}`;
}

/** What a display shows when it means this. */
function displayOf(meaning: Exclude<Meaning, { kind: 'refused' }>): Display {
  return meaning.kind === 'condition'
    ? { number: { digits: 0n, scale: 0 }, unit: 'g', stable: false, condition: meaning.condition }
    : {
        number: meaning.number,
        unit: meaning.unit,
        stable: meaning.stable ?? true,
        lowSupply: meaning.lowSupply,
        condition: undefined,
      };
}

/**
 * Checks one example both ways: the line must decode to its meaning, and what a simulated scale writes for that
 * meaning (and for zero with as many decimals) must decode to the same.
 * @returns which part is wrong and what was expected there; undefined when all agrees
 */
export function checkExample(
  profile: Profile,
  { line, means }: Example,
): { readonly part: 'line' | 'means'; readonly expected: string } | undefined {
  const meaning = readMeaning(means);
  if (meaning === undefined) {
    return { part: 'means', expected: 'a meaning such as `12.5 g stable`, `12.5 g`, `over-range` or `refused`' };
  }
  const decoded = decode(profile, line, 0);
  if (!agrees(decoded, meaning)) {
    return { part: 'line', expected: `a line that means ${means} (by this profile it means ${inWords(decoded)})` };
  }
  if (meaning.kind === 'refused') return undefined;
  const long = profile.framing.length;
  if (!fitsFrame(profile, line)) return { part: 'line', expected: `a line that fills the frame of ${long} bytes` };
  const zero: Meaning | undefined =
    meaning.kind === 'reading'
      ? { ...meaning, mass: ZERO, number: { digits: 0n, scale: meaning.number.scale } }
      : undefined;
  for (const said of zero ? [meaning, zero] : [meaning]) {
    const spoken = speak(profile, displayOf(said));
    if (spoken === undefined) continue;
    if (!fitsFrame(profile, spoken)) {
      return { part: 'means', expected: `a line from \`writes\` that fills the frame (\`${spoken}\` does not)` };
    }
    const heard = decode(profile, spoken, 0);
    if (!agrees(heard, said)) {
      return {
        part: 'means',
        expected: `a line from \`writes\` that means the same (\`${spoken}\` means ${inWords(heard)})`,
      };
    }
  }
  return undefined;
}
