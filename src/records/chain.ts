/**
 * The chain of hashes that ties each fact to all before it: whoever changes, removes or inserts one fact would have to
 * write all later hashes anew, and those no longer match the last hash on a printed record.
 */
import { createHash } from 'node:crypto';
import type { Fact } from '../facts/fact.ts';
import { readFact } from '../facts/readFact.ts';

/** What the first fact is chained to. */
export const FIRST_LINK = '0'.repeat(64);

/** SHA-256, in hex, of the hash before, a line feed, and the fact's exact text. */
export function link(previous: string, body: string): string {
  return createHash('sha256').update(`${previous}\n${body}`, 'utf8').digest('hex');
}

/** One row of the log as it lies in the file; nothing about it is sure yet. */
export type StoredFact = Readonly<Record<'seq' | 'batch' | 'kind' | 'at' | 'by' | 'body' | 'hash', unknown>>;

/** The columns that repeat what the body says, so that the log can be searched. */
const REPEATED = ['seq', 'batch', 'kind', 'at', 'by'] as const;

/** How a fault begins where a fact is whole and yet none that this version knows. */
export const UNREAD = "the fact can't be read";

export type RowCheck =
  | { readonly ok: true; readonly fact: Fact }
  /** What is wrong with the row, as phrases. */
  | { readonly ok: false; readonly faults: readonly string[] };

/**
 * Checks one row: its hash, its body, and its columns against its body.
 * @param previous hashes that the one before may have; none when it is not known, and then the hash is not checked
 */
export function checkRow(row: StoredFact, previous: readonly string[]): RowCheck {
  const { body, hash } = row;
  if (typeof body !== 'string' || typeof hash !== 'string') return { ok: false, faults: ['the row is no text'] };
  const faults: string[] = [];
  if (previous.length > 0 && !previous.some((before) => link(before, body) === hash)) {
    faults.push('the hash does not match: the fact, or the order of facts, was changed');
  }
  const read = readFact(body);
  if (!read.ok) return { ok: false, faults: [...faults, `${UNREAD}: ${read.why}`] };
  for (const column of REPEATED) {
    if (row[column] !== read.fact[column]) faults.push(`the column "${column}" differs from the fact itself`);
  }
  return faults.length > 0 ? { ok: false, faults } : { ok: true, fact: read.fact };
}
