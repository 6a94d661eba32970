/** What a bench asks of the shared history. `connect.ts` answers from a PostgreSQL server. */
import type { FactKind } from '../../facts/fact.ts';
import type { Seal } from '../batchLog.ts';
import type { StoredFact } from '../chain.ts';

/** A row of a log with its types looked at; its hash and its text are still to be proved. */
export interface LogRow extends StoredFact {
  readonly seq: number;
  readonly batch: string;
  readonly kind: string;
  readonly at: string;
  readonly by: string;
  readonly body: string;
  readonly hash: string;
}

export interface KnownBench {
  readonly bench: string;
  /** Its role, which is its name for people; two benches may have had the same one, one after the other. */
  readonly role: string;
  /** When it was entered, UTC. */
  readonly since: string;
  /** Facts that have arrived. */
  readonly facts: number;
}

/** Every promise rejects with a HistoryTrouble. */
export interface SharedHistory {
  /** Enters this bench where it is not known yet. */
  enter(bench: string): Promise<void>;
  /** How far a bench's facts have come; null before the first. */
  head(bench: string): Promise<Seal | null>;
  /** Appends facts, all or none; those that are there already are passed over. */
  append(bench: string, rows: readonly LogRow[]): Promise<void>;
  /** In the order in which they were entered. */
  benches(): Promise<KnownBench[]>;
  /** Facts of a bench behind a place, in order, at most so many. */
  facts(bench: string, after: number, most: number): Promise<LogRow[]>;
  /** The place of a batch's first fact; null where the bench has sent none of it. */
  placeOf(bench: string, batch: string): Promise<number | null>;
  /** Facts of one kind of a bench behind a place, in order; nothing about them is proved. */
  ofKind(bench: string, kind: FactKind, after: number): Promise<LogRow[]>;
  close(): Promise<void>;
}
