/** What can go wrong with the shared history, told in the maker's words in one place. */
import { cleanText } from '../../facts/cleanText.ts';
import { cutToWidth } from '../../facts/textWidth.ts';
import { REFUSALS } from './schema.ts';

/**
 * - `away`: no connection; it may come back. `login`: the server does not let this bench in.
 * - `not-set-up`: the database is no shared history, or this role is no bench of it. `newer`: made by a newer bismar.
 * - `refused`: what is sent does not go on from what is there: two benches with one id, or a log that was replaced.
 * - `unsound`: what the server has is damaged, or is no fact.
 */
export type HistoryFault = 'away' | 'login' | 'not-set-up' | 'newer' | 'refused' | 'unsound';

/** The message is a sentence for the maker: what happened, what is safe, what to do. */
export class HistoryTrouble extends Error {
  override readonly name = 'HistoryTrouble';
  readonly trouble: HistoryFault;
  constructor(trouble: HistoryFault, message: string, cause?: unknown) {
    super(message, { cause });
    this.trouble = trouble;
  }
}

/** Troubles that only a person can mend: trying again by itself would change nothing. */
export function isLasting({ trouble }: HistoryTrouble): boolean {
  return trouble === 'refused' || trouble === 'newer';
}

const SETUP = 'Run `bismar shared setup` for it (README, Several benches).';

/** SQLSTATEs (PostgreSQL's appendix A) that say what kind of trouble it is. */
const BY_STATE: Readonly<Record<string, HistoryFault>> = {
  '28000': 'login',
  '28P01': 'login',
  '3D000': 'login',
  '3F000': 'not-set-up',
  '42P01': 'not-set-up',
  '42501': 'not-set-up',
  [REFUSALS.gap]: 'refused',
  [REFUSALS.other]: 'refused',
  [REFUSALS.hash]: 'refused',
};

/** Turns whatever was thrown by the client into a HistoryTrouble; one that is already one passes. */
export function historyTroubleOf(error: unknown): HistoryTrouble {
  if (error instanceof HistoryTrouble) return error;
  const { code } = error instanceof Error ? (error as Error & { code?: unknown }) : { code: undefined };
  const trouble = (typeof code === 'string' && BY_STATE[code]) || 'away';
  return new HistoryTrouble(trouble, say(trouble, wordsOf(error)), error);
}

function say(trouble: HistoryFault, words: string): string {
  switch (trouble) {
    case 'away':
      return `No connection to the shared history (${words}). All weights are safe in this bench's own log.`;
    case 'login':
      return `The shared history does not let this bench in (${words}). Weights are safe here. Look at its role and password.`;
    case 'not-set-up':
      return `The database is no shared history yet, or this bench's role is none of its benches (${words}). Weights are safe here. ${SETUP}`;
    case 'newer':
      return 'The shared history was made by a newer bismar. Weights are safe here, and nothing is sent until this one is as new.';
    case 'refused':
      return `The shared history refuses this bench's facts (${words}). Weights are safe here. ${TWO_BENCHES}`;
    case 'unsound':
      return `What the shared history says can't be used (${words}).`;
  }
}

/** What to do where one id has two histories. */
export const TWO_BENCHES =
  'Was this folder copied, or an older log put back? Then `bismar shared anew` makes it a bench of its own; all its facts are sent once more, and counted once.';

/** A server's words are foreign text. */
export function wordsOf(error: unknown): string {
  const message =
    error instanceof Error && error.message !== ''
      ? error.message
      : String((error as { code?: unknown })?.code ?? error);
  return cutToWidth(cleanText(message), 120);
}
