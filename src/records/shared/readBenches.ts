/** Reads what all benches have sent, and proves it: what does not hold is told and left out, and the rest is used. */

import { checkRow, FIRST_LINK } from '../chain.ts';
import type { OwnLog } from './send.ts';
import type { KnownBench, LogRow, SharedHistory } from './sharedHistory.ts';

/** Facts that are asked for at once. */
const PAGE = 500;

export interface BenchFacts {
  /** Its id. */
  readonly bench: string;
  /** Its role; where one role had several benches, those after the first are `wet_room-2` and so on. */
  readonly name: string;
  /** Proved: the chain of hashes, the columns, and that each is a fact. */
  readonly rows: readonly LogRow[];
  /** From where on its facts could not be used, a sentence; null when all could. */
  readonly fault: string | null;
}

/** This bench itself: what it has not sent yet is known here all the same. */
export interface OwnBench {
  readonly bench: string;
  readonly role: string;
  readonly log: OwnLog;
}

/** @throws HistoryTrouble; LogTrouble where the own log can't be read */
export async function readBenches(history: SharedHistory, own?: OwnBench): Promise<BenchFacts[]> {
  const known = await history.benches();
  const names = namesOf(own && !known.some(({ bench }) => bench === own.bench) ? [...known, entryOf(own)] : known);
  const all: BenchFacts[] = [];
  for (const [bench, name] of names) {
    const reading = new Reading(bench, name);
    for (;;) {
      const rows = await history.facts(bench, reading.seq, PAGE);
      if (!reading.take(rows) || rows.length < PAGE) break;
    }
    if (bench === own?.bench) takeOwn(reading, own.log);
    all.push(reading.result());
  }
  return all;
}

const entryOf = ({ bench, role }: OwnBench): KnownBench => ({ bench, role, since: '', facts: 0 });

/** By id: a bench's role; where one role had several benches, those after the first are `wet_room-2` and so on. */
export function namesOf(benches: readonly KnownBench[]): Map<string, string> {
  const times = new Map<string, number>();
  return new Map(
    benches.map(({ bench, role }) => {
      const time = (times.get(role) ?? 0) + 1;
      times.set(role, time);
      return [bench, time === 1 ? role : `${role}-${time}`];
    }),
  );
}

/** What follows in the own log, where that goes on from what has arrived. */
function takeOwn(reading: Reading, log: OwnLog): void {
  const last = reading.seq === 0 ? undefined : log.rows(reading.seq - 1, 1)[0];
  if (reading.seq > 0 && last?.hash !== reading.hash) return; // two logs under one id: told when facts are sent
  for (;;) {
    const rows = log.rows(reading.seq, PAGE);
    if (!reading.take(rows) || rows.length < PAGE) return;
  }
}

/** Goes along the chain of one bench. */
class Reading {
  seq = 0;
  hash = FIRST_LINK;
  readonly #bench: string;
  readonly #name: string;
  readonly #rows: LogRow[] = [];
  #fault: string | null = null;

  constructor(bench: string, name: string) {
    this.#bench = bench;
    this.#name = name;
  }

  /** @returns whether all of them hold */
  take(rows: readonly LogRow[]): boolean {
    for (const row of rows) {
      const checked = checkRow(row, [this.hash]);
      const gap = row.seq === this.seq + 1 ? [] : ['one before it is missing'];
      const faults = checked.ok ? gap : [...gap, ...checked.faults];
      if (!checked.ok || faults.length > 0) {
        this.#fault = `Fact ${this.seq + 1} of the bench ${this.#name} in the shared history can't be used (${faults.join('; ')}). It and those after it are left out here; that bench's own log has them.`;
        return false;
      }
      this.#rows.push(row);
      this.seq = row.seq;
      this.hash = row.hash;
    }
    return true;
  }

  result(): BenchFacts {
    return { bench: this.#bench, name: this.#name, rows: this.#rows, fault: this.#fault };
  }
}
