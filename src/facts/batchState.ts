/** The state of a batch as its facts tell it. Plain values; made only by `apply.ts`. */
import type { Mass } from '../mass/mass.ts';
import type { Plan, Task } from '../plan/model.ts';
import type { ScaleStanding } from './fact.ts';
import type { LastAccepted } from './undo.ts';

/** How far one draw has come. */
export interface DrawState {
  /**
   * `open`: nothing accepted yet. `weighed`: the cup's content is accepted and must be tipped. `done`: it is where
   * it belongs.
   */
  readonly status: 'open' | 'weighed' | 'done';
  /** Weight of the vessel on the pan when the draw began; null before it was placed. */
  readonly base: Mass | null;
  /** The largest settled net weight that was held as too much; null when none was. */
  readonly peak: Mass | null;
  /** Accepted net weight. */
  readonly net: Mass | null;
  /** What reached the vessel. */
  readonly bowl: Mass | null;
  readonly lotEnded: boolean;
  /**
   * By how much, at most, the true net weight may differ from the written one, as the zero of its scale moved: above
   * zero where it may be more. null: by no more than its recorded uncertainty.
   */
  readonly doubt: Mass | null;
}

/** What is known of a vessel. */
export interface VesselState {
  /** Weight with content against the empty pan. */
  readonly load: Mass;
  /** False after another vessel was emptied into it unweighed: the load is then only what should be in it. */
  readonly certain: boolean;
  /** By how much more or less it may weigh, as the zero moved while it stood there; absent: by nothing. */
  readonly doubt?: Mass | undefined;
  /** Draws whose ingredient is in it. */
  readonly holds: readonly string[];
  /** Its weight when it was seen with nothing in it; null when it was not in this batch. */
  readonly empty: Mass | null;
}

/** What stuck to a vessel that was emptied into another, by draw: its content is taken to be evenly mixed. */
export interface Clinging {
  readonly residue: Mass;
  /** Shares of the draws that were in it; they add up to the residue. */
  readonly shares: Readonly<Record<string, Mass>>;
  /** The vessel that the rest went into. */
  readonly into: string;
  /** What stuck to it before it was used again, or emptied into the bin, and never went on: by draw. */
  readonly lost?: Readonly<Record<string, Mass>> | undefined;
}

/** What is known of a scale from its last check. */
export interface ScaleState extends ScaleStanding {
  /** The check is of the day on which the batch was begun or taken up (daily practice: OIML G 21:2017, annex A). */
  readonly today: boolean;
}

/** Phases of the batch that were handed to another bench. */
export interface HandOver {
  /** From 1, in the order in which they were handed over. */
  readonly number: number;
  readonly phases: readonly string[];
  /** The other bench's role. */
  readonly to: string;
  /**
   * `out`: they are the other bench's. `calling`: so they are still, and wanted back. `back`: this bench's again. `in`: what
   * the other has weighed is in the batch.
   */
  readonly stands: 'out' | 'calling' | 'back' | 'in';
  /** This bench's own tasks of these phases, and the batch's mass then: for when what was brought in is given up. */
  readonly own: readonly Task[];
  readonly mass: Mass;
}

/** What a batch is part of, where another bench began that. */
export interface PartOf {
  /** The id and the role of the bench that began it, and its batch there. */
  readonly bench: string;
  readonly role: string;
  readonly of: string;
  readonly number: number;
  /** The shared history has seen the joining: until then nothing is weighed. */
  readonly confirmed: boolean;
}

export interface BatchState {
  readonly batch: string;
  readonly plan: Plan;
  readonly gathered: boolean;
  readonly draws: Readonly<Record<string, DrawState>>;
  /** Bursts begun of a step that is not done yet, and steps that are done. */
  readonly steps: Readonly<
    Record<string, { readonly bursts: number; readonly begunAt: string; readonly done: boolean }>
  >;
  /** Vessels that have been on a pan in this batch. */
  readonly vessels: Readonly<Record<string, VesselState>>;
  /** Loads of jars that were weighed before a draw, by draw: double entry. */
  readonly jars: Readonly<Record<string, { readonly load: Mass; readonly scale: string }>>;
  /** Vessels that were weighed back after they were emptied into another. */
  readonly clinging: Readonly<Record<string, Clinging>>;
  /** By scale; a scale that is not here was never checked. */
  readonly scales: Readonly<Record<string, ScaleState>>;
  readonly handOvers: readonly HandOver[];
  /** null for a batch of its own. */
  readonly partOf: PartOf | null;
  /** The draw accepted last, for the screen. */
  readonly lastAccepted: { readonly draw: string; readonly net: Mass; readonly seq: number } | null;
  /** The zero that was last found to have moved under draws, for the screen. */
  readonly lastShift: {
    readonly scale: string;
    readonly shift: Mass;
    readonly draws: readonly string[];
    readonly seq: number;
  } | null;
  /** What came back out of the vessel before the draw accepted last was; null where nothing, or where it went is known. */
  readonly takenOut: { readonly draw: string; readonly amount: Mass } | null;
  /** Accepted draws after which their scale's empty pan has not been read, in order: its zero may have moved. */
  readonly unseen: readonly string[];
  /** What can still be taken back; null when nothing. */
  readonly undoable: LastAccepted | null;
  readonly ended: 'open' | 'finished' | 'abandoned';
  /** Sequence number of the last fact applied. */
  readonly seq: number;
}
