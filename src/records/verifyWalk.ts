/** What a proof of the log finds, one fact after the other along the chain of hashes. */
import type { Fact } from '../facts/fact.ts';
import type { Seal } from './batchLog.ts';
import { checkRow, FIRST_LINK, link, type StoredFact } from './chain.ts';

export interface Damage {
  /** Place of the fact concerned; null when it concerns the whole file. */
  readonly seq: number | null;
  /** A sentence. */
  readonly what: string;
}

export interface Verification {
  readonly ok: boolean;
  /** Facts found, damaged ones too. */
  readonly facts: number;
  /** Hash of the last fact, to compare with a printed record; null when there is none. */
  readonly lastHash: string | null;
  readonly damages: readonly Damage[];
  /** Whether every fact is proved; what is damaged then lies beside them, and can be made anew (`rebuildLog`). */
  readonly factsWhole: boolean;
  /** Facts from the first on that are proved, without a gap. */
  readonly wholeUpTo: number;
  /** What is no damage, and yet to be known: sentences. */
  readonly notes: readonly string[];
  /** What this proof can't tell, a sentence. */
  readonly caveat: string;
}

/** Most damages told; one broken page can hit thousands of facts. */
export const MOST_DAMAGES = 200;

/** Goes along the chain, one row after the other. */
export class Walk {
  facts = 0;
  readonly #printed: Seal | undefined;
  readonly #damages: Damage[] = [];
  readonly #notes: string[] = [];
  #areRead = false;
  #factFaults = 0;
  #wholeUpTo = 0;
  #untold = 0;
  #seq = 0;
  #lastHash: string | null = null;
  #printedSeen = false;
  /** What the next row may be chained to: the hash as stored and as it should be. None when it is not known. */
  #previous: readonly string[] = [FIRST_LINK];

  constructor(printed: Seal | undefined) {
    this.#printed = printed;
  }

  get isWhole(): boolean {
    return this.#damages.length === 0;
  }

  note(what: string): void {
    this.#notes.push(what);
  }

  /** The end of the facts was reached. */
  allRead(): void {
    this.#areRead = true;
  }

  /** What was read when it stopped. */
  reading(): string {
    return this.#areRead
      ? 'what is kept beside the facts can not be read'
      : `reading stopped after ${this.facts} facts`;
  }

  damage(seq: number | null, what: string): void {
    if (seq !== null) this.#factFaults += 1;
    if (this.#damages.length < MOST_DAMAGES) this.#damages.push({ seq, what });
    else this.#untold += 1;
  }

  /** @returns the fact, if it is whole */
  step(row: StoredFact): Fact | undefined {
    const { seq, body, hash } = row;
    this.facts += 1;
    if (typeof seq !== 'number') {
      this.#factFaults += 1;
      this.damage(null, 'a fact has no place');
      this.#previous = [];
      return undefined;
    }
    if (seq !== this.#seq + 1) {
      this.damage(seq, gap(this.#seq, seq));
      this.#previous = [];
    }
    const checked = checkRow(row, this.#previous);
    if (!checked.ok) for (const fault of checked.faults) this.damage(seq, fault);
    this.#seq = seq;
    this.#lastHash = typeof hash === 'string' ? hash : null;
    const stored = typeof hash === 'string' ? [hash] : [];
    // Where this row's own hash was changed, the next one still fits what it should be: it is told once, at its place.
    const due = typeof body === 'string' ? this.#previous.map((before) => link(before, body)) : [];
    this.#previous = [...new Set([...stored, ...due])].slice(0, 2);
    if (seq === this.#printed?.seq) {
      this.#printedSeen = true;
      if (hash !== this.#printed.hash) this.damage(seq, 'the hash differs from the printed one');
    }
    if (this.#factFaults === 0) this.#wholeUpTo = seq;
    return checked.ok ? checked.fact : undefined;
  }

  result(): Verification {
    if (this.#printed && !this.#printedSeen) {
      this.damage(this.#printed.seq, 'the fact whose hash was printed is not in the log: its end was cut off');
    }
    if (this.#untold > 0) this.#damages.push({ seq: null, what: `and ${this.#untold} more damages` });
    return {
      ok: this.#damages.length === 0,
      facts: this.facts,
      lastHash: this.#lastHash,
      damages: this.#damages,
      factsWhole: this.#areRead && this.#factFaults === 0,
      wholeUpTo: this.#wholeUpTo,
      notes: this.#notes,
      caveat: this.#printed
        ? `Facts after number ${this.#printed.seq}, if there were any, could still have been cut off at the end.`
        : 'Facts cut off at the very end do not show in the log itself: compare the last hash with the newest printed record.',
    };
  }
}

function gap(before: number, seq: number): string {
  if (seq <= before) return 'the facts are out of order';
  const missing = seq === before + 2 ? `fact ${before + 1} is` : `facts ${before + 1} to ${seq - 1} are`;
  return `${missing} missing before this one, so its hash can't be checked`;
}
