/** Writing a new formula into a workshop: read back first, never over one that is there. */
import { existsSync, mkdirSync, writeFileSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { newId } from '../../bring/ingredientSkeleton.ts';
import { cleanText } from '../../facts/cleanText.ts';
import type { Formula } from '../../formula/model.ts';
import { readFormula } from '../../formula/readFormula.ts';
import type { Workshop } from '../../workshop/model.ts';
import { printProblems } from '../../workshop/problems.ts';
import { Ending, EXIT } from '../exit.ts';

/** The file that a formula of this name gets. @throws Ending when it is there already */
export function newFormulaFile(folder: string, name: string): string {
  const file = join(folder, 'formulas', `${newId(name, new Set())}.yaml`);
  if (existsSync(file)) {
    throw new Ending(
      EXIT.wrongUse,
      `There is a formula ${cleanText(file)} already. Nothing was changed. Give the new one another name, with --name.`,
    );
  }
  return file;
}

/** Writes a formula that holds. @returns the formula as it reads */
export function writeFormula(file: string, text: string, workshop: Workshop): Formula {
  const read = readFormula(file, text, workshop);
  if (!read.ok) {
    throw new Ending(
      EXIT.wrongUse,
      `Nothing was written, for the formula would not hold:\n${printProblems(read.problems)}`,
    );
  }
  writeNew(file, text);
  return read.formula;
}

/** Writes a file that is not there yet. @throws Ending where it can't be written */
export function writeNew(file: string, text: string): void {
  try {
    mkdirSync(dirname(file), { recursive: true });
    writeFileSync(file, text, { flag: 'wx' });
  } catch (error) {
    const { code } = error as NodeJS.ErrnoException;
    const why = code === 'EEXIST' ? 'is there already' : `could not be written (${code})`;
    throw new Ending(EXIT.failed, `${cleanText(file)} ${why}. Nothing was changed.`);
  }
}
