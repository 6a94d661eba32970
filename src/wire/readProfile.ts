/** A wire profile's file -> the profile, or all that is wrong with it, each with its place. */
import { type Problem, readYaml } from '../workshop/problems.ts';
import { checkExample } from './example.ts';
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
  return problems.length > 0 ? { ok: false, problems } : { ok: true, profile };
}

function toProfile(id: string, file: ProfileFile): Profile {
  const blank = file['no unit'];
  return {
    id,
    describes: file.describes,
    serial: {
      baud: file.serial.baud,
      dataBits: file.serial['data bits'],
      parity: file.serial.parity,
      stopBits: file.serial['stop bits'],
    },
    ending: file.ending,
    rhythm: file.rhythm,
    linesPerSecond: file['lines per second'],
    pattern: file.pattern,
    decimal: file.decimal,
    status: new Map(Object.entries(file.status)),
    noStatus: file['no status'],
    units: new Map(Object.entries(file.units)),
    blankUnit: blank && { unit: blank.unit, moving: blank.means === 'moving' },
    ask: file.ask && { send: file.ask.send, everyMs: file.ask['every ms'] },
    writes: { weight: file.writes.weight, noWeight: file.writes['no weight'] },
  };
}
