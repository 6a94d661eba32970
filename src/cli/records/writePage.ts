/** Writes a page where the maker wants it, and nothing else away. */
import { closeSync, existsSync, openSync, readSync, writeFileSync } from 'node:fs';
import { cleanText } from '../../facts/cleanText.ts';
import { Ending, EXIT } from '../exit.ts';

const PAGE_BEGINS = '<!doctype html>';

/**
 * Writes a page; one that is there already is made anew.
 * @throws Ending where something else has that name: it stays as it is
 */
export function writePage(file: string, text: string): void {
  try {
    if (existsSync(file) && !isPage(file)) {
      throw new Ending(
        EXIT.failed,
        `${cleanText(file)} is there already and is no page, so it stays as it is. Name another file, such as record.html.`,
      );
    }
    writeFileSync(file, text, { mode: 0o600 });
  } catch (error) {
    if (error instanceof Ending) throw error;
    const { code } = error as NodeJS.ErrnoException;
    throw new Ending(
      EXIT.failed,
      `The page ${cleanText(file)} could not be written (${code}). What it tells is safe in the log.`,
    );
  }
}

function isPage(file: string): boolean {
  const open = openSync(file, 'r');
  try {
    const begins = Buffer.alloc(PAGE_BEGINS.length);
    readSync(open, begins);
    return begins.toString('latin1').toLowerCase() === PAGE_BEGINS;
  } finally {
    closeSync(open);
  }
}
