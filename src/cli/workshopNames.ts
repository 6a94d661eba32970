/** The names that a workshop has for things, for who types a command. Never throws: what can't be read has no names. */
import { existsSync, readdirSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { profileIds } from '../link/findProfile.ts';
import { openLog } from '../records/batchLog.ts';
import { formulaIds, isWorkshop, LOG_FILE, loadWorkshop, profileFolders } from './folder.ts';
import { stockedNow } from './stock/stockNow.ts';

/** Most batches offered, the newest. */
const MOST_BATCHES = 30;

/**
 * @param words what stands on the command line, the last word unfinished
 * @returns the names that can stand for a word of the definitions such as `formula` or `batch|formula`
 */
export async function namesOf(folder: string, words: readonly string[]): Promise<(word: string) => readonly string[]> {
  const profiles = await profileIds(profileFolders(folder)).catch(() => []);
  return (word) => {
    try {
      return word.split('|').flatMap((each) => namesFor(each, { folder, profiles, words }));
    } catch {
      return [];
    }
  };
}

interface Line {
  readonly folder: string;
  readonly profiles: readonly string[];
  readonly words: readonly string[];
}

function namesFor(word: string, { folder, profiles, words }: Line): readonly string[] {
  switch (word) {
    case 'formula':
      return formulaIds(folder);
    case 'batch':
      return batchIds(folder);
    case 'profile':
      return profiles;
    case 'scale':
      return [...loadWorkshop(folder).scales.keys()];
    case 'vessel':
      return [...loadWorkshop(folder).vessels.keys()];
    case 'ingredient':
      return [...loadWorkshop(folder).ingredients.keys()];
    case 'lot':
      return lotIds(folder, words);
    case 'file':
      return paths(words.at(-1) ?? '', true);
    case 'dir':
    case 'folder':
      return paths(words.at(-1) ?? '', false);
    default:
      return [];
  }
}

/** Lots of the ingredient that stands on the line already, or of all. */
function lotIds(folder: string, words: readonly string[]): readonly string[] {
  const { ingredients } = stockedNow(folder, loadWorkshop(folder));
  const named = words.flatMap((each) => ingredients.get(each) ?? []);
  return (named.length > 0 ? named : [...ingredients.values()]).flatMap(({ lots }) => lots.map(({ id }) => id));
}

function batchIds(folder: string): readonly string[] {
  const file = join(folder, LOG_FILE);
  if (!isWorkshop(folder) || !existsSync(file)) return [];
  const log = openLog(file, { readOnly: true });
  try {
    return log.list
      .newest(MOST_BATCHES)
      .map(({ id }) => id)
      .reverse();
  } finally {
    log.close();
  }
}

/** What lies beside what was typed: folders, and files where they are wanted. */
function paths(typed: string, withFiles: boolean): readonly string[] {
  const above = typed.endsWith('/') ? typed : typed.includes('/') ? `${dirname(typed)}/` : '';
  return readdirSync(above === '' ? '.' : above, { withFileTypes: true })
    .filter((entry) => !entry.name.startsWith('.') && (withFiles || entry.isDirectory()))
    .map((entry) => `${above}${entry.name}${entry.isDirectory() ? '/' : ''}`);
}
