/** `bismar scale check-profile`: looks over a wire profile that somebody writes. */
import { readFile } from 'node:fs/promises';
import { basename } from 'node:path';
import { cleanText } from '../../facts/cleanText.ts';
import { checkProfile as check } from '../../wire/checkProfile.ts';
import { Ending, EXIT, type ExitCode } from '../exit.ts';

/** Prints OK with what the examples mean, or all that is wrong. */
export async function checkProfile(file: string): Promise<ExitCode> {
  let text: string;
  try {
    text = await readFile(file, 'utf8');
  } catch {
    throw new Ending(EXIT.wrongUse, `The file ${cleanText(file)} can't be read. Is the name right?`);
  }
  const { ok, lines } = check(basename(file, '.yaml'), file, text);
  (ok ? process.stdout : process.stderr).write(`${lines.join('\n')}\n`);
  return ok ? EXIT.done : EXIT.wrongUse;
}
