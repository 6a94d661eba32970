/** The workshop's folder: where its files are, and reading them with all that is wrong said at once. */
import { existsSync, readdirSync, readFileSync, statSync } from 'node:fs';
import { join, resolve } from 'node:path';
import { fileURLToPath } from 'node:url';
import { cleanText } from '../facts/cleanText.ts';
import { cutToWidth } from '../facts/textWidth.ts';
import type { Formula } from '../formula/model.ts';
import { readFormula } from '../formula/readFormula.ts';
import { findProfile, profileIds } from '../link/findProfile.ts';
import type { Profile } from '../wire/profile.ts';
import type { Workshop } from '../workshop/model.ts';
import { nearest } from '../workshop/nearest.ts';
import { printProblems } from '../workshop/problems.ts';
import { readWorkshop } from '../workshop/readWorkshop.ts';
import { Ending, EXIT } from './exit.ts';
import { hint } from './weigh/hint.ts';

export const WORKSHOP_FILE = 'workshop.yaml';
export const LOG_FILE = 'batches.db';
/** No file of a workshop that people write by hand is larger. */
const LARGEST_FILE = 1_000_000;

/** A folder that ships with the program: `devices`, `fixtures/demo`. */
export function shipped(folder: string): string {
  return fileURLToPath(new URL(`../${folder}`, import.meta.url));
}

export function isWorkshop(folder: string): boolean {
  return existsSync(join(folder, WORKSHOP_FILE));
}

/** Reads a text file; a sentence when it is not there, not readable or far too large. */
export function readText(file: string): string {
  try {
    if (statSync(file).size > LARGEST_FILE) {
      throw new Ending(
        EXIT.wrongUse,
        `${cleanText(file)} is larger than 1 MB: that is no file of a workshop. Nothing was read.`,
      );
    }
    return readFileSync(file, 'utf8');
  } catch (error) {
    if (error instanceof Ending) throw error;
    const code = (error as NodeJS.ErrnoException).code;
    const why =
      code === 'ENOENT' ? 'is not there' : code === 'EACCES' ? 'may not be read by you' : `can not be read (${code})`;
    throw new Ending(EXIT.wrongUse, `${cleanText(file)} ${why}.`);
  }
}

export function loadWorkshop(folder: string): Workshop {
  const file = join(folder, WORKSHOP_FILE);
  if (!isWorkshop(folder)) {
    throw new Ending(
      EXIT.wrongUse,
      `There is no workshop in ${cleanText(resolve(folder))} (no ${WORKSHOP_FILE}). \`${hint('init DIR')}\` makes one; \`${hint('demo')}\` shows a made-up one.`,
    );
  }
  const result = readWorkshop(file, readText(file));
  if (!result.ok) throw new Ending(EXIT.wrongUse, printProblems(result.problems));
  return result.workshop;
}

/** Ids of the formulas of a workshop, sorted. */
export function formulaIds(folder: string): string[] {
  try {
    return readdirSync(join(folder, 'formulas'))
      .flatMap((name) => /^(.+)\.ya?ml$/i.exec(name)?.[1] ?? [])
      .sort();
  } catch {
    return [];
  }
}

/** Reads a formula by its id, or by a path to its file. */
export function loadFormula(folder: string, name: string, workshop: Workshop): Formula {
  const file = formulaFileOf(folder, name);
  const result = readFormula(file, readText(file), workshop);
  if (!result.ok) throw new Ending(EXIT.wrongUse, printProblems(result.problems));
  return result.formula;
}

/** A formula as its file has it now; undefined where that is gone or faulty: for who only needs what was weighed. */
export function loadFormulaIfSound(folder: string, id: string, workshop: Workshop): Formula | undefined {
  try {
    return formulaIds(folder).includes(id) ? loadFormula(folder, id, workshop) : undefined;
  } catch (error) {
    if (error instanceof Ending) return undefined;
    throw error;
  }
}

/** The file of a formula, by its id or its path. @throws Ending where there is none */
export function formulaFileOf(folder: string, name: string): string {
  if (/\.ya?ml$/i.test(name)) return name;
  const known = formulaIds(folder);
  const file = join(folder, 'formulas', `${name}.yaml`);
  if (known.includes(name) && existsSync(file)) return file;
  const shown = cutToWidth(cleanText(name), 40);
  const hint = nearest(name, known);
  const list = known.length === 0 ? 'The folder formulas/ is empty.' : `There are: ${known.map(cleanText).join(', ')}.`;
  throw new Ending(
    EXIT.wrongUse,
    `There is no formula "${shown}" in this workshop. ${hint === undefined ? '' : `Did you mean ${cleanText(hint)}? `}${list}`,
  );
}

/** Folders of wire profiles: the workshop's own first. */
export function profileFolders(folder: string): readonly string[] {
  return [join(folder, 'scales'), shipped('devices')];
}

/** @throws Ending with a sentence that names the profiles there are, or with the faults of the profile's file */
export async function loadProfile(folder: string, id: string): Promise<Profile> {
  const folders = profileFolders(folder);
  const known = await profileIds(folders);
  if (!known.includes(id)) {
    const meant = nearest(id, known);
    throw new Ending(
      EXIT.wrongUse,
      `There is no wire profile "${cutToWidth(cleanText(id), 40)}". ${meant === undefined ? '' : `Did you mean ${meant}? `}There are: ${known.join(', ') || 'none'}. None fits? \`${hint('scale teach NAME --port P', folder)}\` learns how a scale speaks.`,
    );
  }
  const result = await findProfile(id, folders);
  if (!result.ok) throw new Ending(EXIT.wrongUse, printProblems(result.problems));
  return result.profile;
}
