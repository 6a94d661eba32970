/** A wire profile's file -> the profile, or all that is wrong with it, each with its place. */
import { type Problem, readYaml } from '../workshop/problems.ts';
import { misplacedCut } from './cutting.ts';
import { checkExample, type Example } from './example.ts';
import { type Check, ENDING_TEXT, type Ending, endText, type Framing, linesEndedBy } from './framing.ts';
import type { Profile } from './profile.ts';
import { type ProfileFile, profileSchema } from './profileSchema.ts';

export type ProfileResult =
  | { readonly ok: true; readonly profile: Profile }
  | { readonly ok: false; readonly problems: readonly Problem[] };

/**
 * Reads a wire profile. One that fails its own examples is refused: it would misread the scale.
 * @param id the profile's id: the file's name without its ending
 * @param file the name to show in problems
 */
export function readProfile(id: string, file: string, text: string): ProfileResult {
  const result = readYaml(file, text, profileSchema);
  if (!result.ok) return result;
  const profile = toProfile(id, result.value);
  const problems = result.value.examples.flatMap((example, index) => {
    const wrong = checkExample(profile, example);
    return wrong ? [result.complain(['examples', index, wrong.part], wrong.expected)] : [];
  });
  const misread = problems.length > 0 ? undefined : misplacedCut(profile, result.value.examples);
  if (misread !== undefined) problems.push(result.complain(['pattern'], misread));
  return problems.length > 0 ? { ok: false, problems } : { ok: true, profile };
}

/** The examples of a profile that was read without problems. */
export function examplesOf(text: string): readonly Example[] {
  const result = readYaml('', text, profileSchema);
  return result.ok ? result.value.examples : [];
}

function toProfile(id: string, file: ProfileFile): Profile {
  const blank = file['no unit'];
  const framing = toFraming(file);
  return {
    id,
    describes: file.describes,
    serial: {
      baud: file.serial.baud,
      dataBits: file.serial['data bits'],
      parity: file.serial.parity,
      stopBits: file.serial['stop bits'],
    },
    framing,
    linesPerReading: file['lines per reading'],
    rhythm: file.rhythm,
    linesPerSecond: file['lines per second'],
    pattern: file.pattern,
    decimal: file.decimal,
    status: new Map(Object.entries(file.status)),
    noStatus: file['no status'],
    units: new Map(Object.entries(file.units)),
    blankUnit: blank && { unit: blank.unit, moving: blank.means === 'moving' },
    ask: file.ask && {
      bytes: file.ask.send + askEnding(file.ask.ending, framing),
      everyMs: file.ask['every ms'],
    },
    writes: file.writes && { weight: file.writes.weight, noWeight: file.writes['no weight'] },
  };
}

function toFraming({ ending, frame }: ProfileFile): Framing {
  if (ending !== undefined || !frame) return linesEndedBy(ending ?? 'lf');
  const { start, end, length, check } = frame;
  return {
    start,
    end: end === undefined || isEnding(end) ? end : { byte: end },
    length,
    check: check && toCheck(check),
  };
}

function toCheck({ kind, covers, place, length }: NonNullable<NonNullable<ProfileFile['frame']>['check']>): Check {
  return { kind, covers, place, length: length ?? (kind === 'xor' || kind === 'sum' ? 1 : 2) };
}

function isEnding(end: string): end is Ending {
  return Object.hasOwn(ENDING_TEXT, end);
}

/** A question ends as the lines do, unless the profile says otherwise. */
function askEnding(ending: Ending | 'none' | undefined, framing: Framing): string {
  if (ending === undefined) return endText(framing);
  return ending === 'none' ? '' : ENDING_TEXT[ending];
}
