/** What can go wrong with the files of the batch log, told in the maker's words in one place. */
import { accessSync, constants, existsSync } from 'node:fs';
import { dirname } from 'node:path';
import { cleanText } from '../facts/cleanText.ts';

/**
 * - `missing`: there is no such file or folder. `foreign`: a file, but no batch log of ours.
 * - `newer`: written by a newer bismar. `damaged`: ours, and broken.
 * - `busy`: another program holds it. `full`: no room on the disk. `read-only`: may not be written.
 * - `failed`: anything else, with the system's own words.
 */
export type Trouble = 'missing' | 'foreign' | 'newer' | 'damaged' | 'busy' | 'full' | 'read-only' | 'failed';

/** The message is a sentence for the maker: what happened, what is safe, what to do. */
export class LogTrouble extends Error {
  override readonly name = 'LogTrouble';
  readonly trouble: Trouble;
  constructor(trouble: Trouble, message: string, cause?: unknown) {
    super(message, { cause });
    this.trouble = trouble;
  }
}

/** What was being done when it went wrong. */
export type Doing = 'open' | 'record' | 'read';

const PRIMARY_CODE = 0xff;
/** Primary result codes of SQLite (sqlite.org/rescode.html). */
const BY_SQLITE: Readonly<Record<number, Trouble>> = {
  5: 'busy',
  6: 'busy',
  8: 'read-only',
  11: 'damaged',
  13: 'full',
  26: 'foreign',
};
const BY_SYSTEM: Readonly<Record<string, Trouble>> = {
  ENOENT: 'missing',
  ENOTDIR: 'missing',
  EACCES: 'read-only',
  EPERM: 'read-only',
  EROFS: 'read-only',
  ENOSPC: 'full',
  EDQUOT: 'full',
};

/** Turns whatever was thrown while the log was in use into a LogTrouble; one that is already one passes. */
export function troubleOf(error: unknown, file: string, doing: Doing): LogTrouble {
  if (error instanceof LogTrouble) return error;
  return told(kindOf(error, file), file, doing, error);
}

/** A LogTrouble with its usual sentence. */
export function told(trouble: Trouble, file: string, doing: Doing, cause?: unknown): LogTrouble {
  return new LogTrouble(trouble, say(trouble, file, doing, cause), cause);
}

/** One fact does not hold; the sentence says which, and why. */
export function damagedFact(file: string, seq: unknown, faults: readonly string[]): LogTrouble {
  return new LogTrouble(
    'damaged',
    `Fact ${seq} in the batch log ${cleanText(file)} is damaged: ${faults.join('; ')}. Nothing was changed now. Copy the file as it is, and run \`bismar verify\` to see what is whole.`,
  );
}

function kindOf(error: unknown, file: string): Trouble {
  if (!(error instanceof Error)) return 'failed';
  const { code, errcode } = error as Error & { code?: unknown; errcode?: unknown };
  if (typeof errcode === 'number') {
    const primary = errcode & PRIMARY_CODE;
    if (primary === 14) return whyNotOpened(file);
    return BY_SQLITE[primary] ?? 'failed';
  }
  return (typeof code === 'string' && BY_SYSTEM[code]) || 'failed';
}

/** SQLite's "unable to open" does not say why; the folder does. */
function whyNotOpened(file: string): Trouble {
  const folder = dirname(file);
  if (!existsSync(folder)) return 'missing';
  try {
    accessSync(folder, constants.W_OK);
    return 'failed';
  } catch {
    return 'read-only';
  }
}

const START: Readonly<Record<Doing, string>> = {
  open: 'Not opened: ',
  record: 'Not recorded: ',
  read: 'Not read: ',
};

function say(trouble: Trouble, file: string, doing: Doing, error: unknown): string {
  const name = cleanText(file);
  const start = START[doing];
  const safe = doing === 'record' ? ' All facts recorded before are safe.' : ' Nothing in it was changed.';
  const again = doing === 'record' ? 'try again; leave the vessel as it is meanwhile' : 'try again';
  switch (trouble) {
    case 'missing':
      return `${start}there is no ${name}. Is this the workshop's folder?`;
    case 'foreign':
      return `${start}${name} is not a batch log of bismar, or its first bytes are damaged.${safe} Move it away if it is something else; bring a good copy back if it was the log.`;
    case 'newer':
      return `${start}${name} was written by a newer bismar.${safe} Use that version, or a newer one.`;
    case 'damaged':
      return `${start}the batch log ${name} is damaged.${safe} Copy the file as it is, and run \`bismar verify\`: it says what is whole, and whether all else can be made anew or a backup is needed.`;
    case 'busy':
      return `${start}another program holds ${name}.${safe} Close it (a database viewer, a backup) and ${again}.`;
    case 'full':
      return `${start}the disk with ${name} is full.${safe} Make room and ${again}.`;
    case 'read-only':
      return `${start}${name} or its folder may not be written.${safe} Give yourself the right to write there, or take the workshop to another disk, and ${again}.`;
    case 'failed':
      return `${start}${name} could not be used (${wordsOf(error)}).${safe} Check the disk; a workshop on a network folder does not work. Then ${again}.`;
  }
}

function wordsOf(error: unknown): string {
  return cleanText(error instanceof Error ? error.message : String(error));
}
