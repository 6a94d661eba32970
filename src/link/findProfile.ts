/** Wire profiles on the disk: the workshop's own folder first, then the ones that ship with the program. */
import { readdir, readFile } from 'node:fs/promises';
import { join } from 'node:path';
import { cleanText } from '../facts/cleanText.ts';
import { cutToWidth } from '../facts/textWidth.ts';
import { type ProfileResult, readProfile } from '../wire/readProfile.ts';

const NAME = /^[a-z0-9][a-z0-9-]{0,39}$/;

/**
 * Reads the profile `id` from the first folder that has `<id>.yaml`. Never rejects; a profile that is not there is a
 * problem like others.
 * @param folders absolute or relative paths, first wins
 */
export async function findProfile(id: string, folders: readonly string[]): Promise<ProfileResult> {
  if (NAME.test(id)) {
    for (const folder of folders) {
      const file = join(folder, `${id}.yaml`);
      const text = await readFile(file, 'utf8').catch(() => undefined);
      if (text !== undefined) return readProfile(id, file, text);
    }
  }
  const known = await profileIds(folders);
  return {
    ok: false,
    problems: [
      {
        file: folders.join(', '),
        line: 1,
        column: 1,
        path: '',
        found: `no wire profile "${cutToWidth(cleanText(id), 40)}"`,
        expected: `one of ${known.join(', ') || 'none (the folders hold no profiles)'}`,
      },
    ],
  };
}

/** Ids of all profiles in the folders, sorted. */
export async function profileIds(folders: readonly string[]): Promise<string[]> {
  const names = await Promise.all(folders.map((folder) => readdir(folder).catch(() => [])));
  const ids = names.flat().flatMap((name) => (name.endsWith('.yaml') ? [name.slice(0, -'.yaml'.length)] : []));
  return [...new Set(ids.filter((id) => NAME.test(id)))].sort();
}
