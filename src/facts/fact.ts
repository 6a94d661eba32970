/**
 * Facts: what happened, one by one. They are the only truth about a batch; its state is worked out from them
 * (`apply.ts`). A fact is plain data. It is never changed; a correction is a new fact that names it.
 */
import type { Budget } from '../accept/budget.ts';
import type { CheckJudgement, CheckRow } from '../accept/scaleCheck.ts';
import type { Suspect } from '../accept/sumCheck.ts';
import type { Way } from '../formula/model.ts';
import type { Mass } from '../mass/mass.ts';
import type { Plan, PlannedDraw, PlannedVessel } from '../plan/model.ts';
import type { PourSeen } from '../signal/afterRun.ts';
import type { BarHappened } from './barFacts.ts';
import type { BroughtIn, HandOverHappened } from './handOverFacts.ts';

/** Why an accepted weight lies outside its band; only by the maker's choice. */
export interface Deviation {
  readonly kind: 'over' | 'under' | 'residue';
  readonly reason: string;
}

/** What the last check of a scale said of it, when a batch was begun or taken up again. */
export interface ScaleStanding {
  /** When that was; null (and all else null) for a scale that was never checked. */
  readonly checkedAt: string | null;
  readonly passed: boolean | null;
  readonly slopePpm: number | null;
  /** The same as a standard uncertainty; absent where the check did not say. */
  readonly slopeStandardPpm?: number | undefined;
  /** Scatter of one weighing as the series found it (in a log without `weighings`: made larger for a short series). */
  readonly repeatability: Mass | null;
  /** Weighings in the series. */
  readonly weighings?: number | undefined;
}

/**
 * How the maker told that a step begins or is done: by a key, by lifting its vessel off, by its vessel being in her
 * hands already, by putting that or the next vessel on a pan, or by a tap on the empty pan.
 */
export type StepHow = 'key' | 'lifted' | 'at-hand' | 'put-on' | 'tapped';

/** A vessel weighed after it was emptied. */
export interface WeighedBack {
  readonly vessel: string;
  readonly scale: string;
  readonly load: Mass;
  /** What stuck to it: its load against its weight when it was empty; not below 0. */
  readonly residue: Mass;
  /** Expanded, k = 2. */
  readonly uncertainty: Mass;
}

/** How a pour went and how its scale answered: later pours learn from it. */
export interface PourNote {
  /** Time constant of the scale's answer to the vessel, milliseconds; null where it could not be told. */
  readonly lagMs: number | null;
  /** How it stood when `stop` was said and where it came to rest; null where nothing was said into a steady flow. */
  readonly stop: PourSeen | null;
}

/**
 * What a scale showed while a draw was poured: as many points as its shape needs, each as it was read. Between two of
 * them the weight went about straight; while the vessel was off the pan nothing is known.
 */
export interface PourTrace {
  /** It begins in the middle of the pour: the program was started again, or the pour did not wait for it. */
  readonly midway: boolean;
  /** Milliseconds since the first point, rising. */
  readonly ms: readonly number[];
  /** Net weight shown at each of these times; for the way `subtract` what was missing from the jar. */
  readonly net: readonly Mass[];
}

/** Facts that can be taken back within moments. */
export type Undoable = 'weighed' | 'tipped' | 'step-done';

/** Batch id that checks of scales are logged under: they belong to the workshop, not to a batch. */
export const SCALES = 'scales';

/** Batch id that receipts, blocks and stock-takes are logged under: lots belong to the workshop, not to a batch. */
export const STOCK = 'stock';

/** A delivery as it was entered. */
export interface LotReceived {
  readonly ingredient: string;
  readonly lot: string;
  readonly amount: Mass;
  /** Plain decimal text in the workshop's money, so that no digit is lost; null when not known. */
  readonly pricePerKg: string | null;
  /** Last day of use, `YYYY-MM-DD`; null when it does not expire. */
  readonly expires: string | null;
  /** The code on the supplier's label, where the workshop's own differs. */
  readonly supplierLot: string | null;
  /** File name of its certificate. */
  readonly certificate: string | null;
  /** Vessel that it is kept in. */
  readonly jar: string | null;
  /** The batch that it was made in; absent for what was bought. */
  readonly madeIn?: string | undefined;
}

/** Draws of which it is not known whether the zero of their scale moved under them; absent where there are none. */
interface ZeroUnseen {
  readonly zeroUnseen?: readonly string[] | undefined;
}

/** What may stand beside any fact. */
interface Beside {
  /** Draws after which their scale's empty pan has been read since the fact before, without a gap in its readings. */
  readonly zeroSeen?: readonly string[] | undefined;
}

/** What happened at a bench itself, before it has a place in the log. */
export type HappenedHere = What & Beside;

type What =
  | { readonly kind: 'batch-started'; readonly plan: Plan }
  /** What is known of each scale of the plan; it holds until the next such fact. */
  | { readonly kind: 'scales-stand'; readonly scales: Readonly<Record<string, ScaleStanding>> }
  /** A scale was checked with weights. Logged under the id `scales`. */
  | ({
      readonly kind: 'scale-checked';
      readonly scale: string;
      /** By what it was judged, and with which weights: a sentence. */
      readonly basis: string;
      readonly rows: readonly CheckRow[];
    } & CheckJudgement)
  /** The maker has everything at hand and begins. */
  | { readonly kind: 'gathered' }
  /** The program took up the batch again after a stop. What stood on the pans meanwhile, nobody saw. */
  | ({ readonly kind: 'resumed' } & ZeroUnseen)
  /**
   * A vessel was recognised on a pan. `load` is its weight with content against the empty pan; `zero` the empty
   * pan's own reading. `unusual`: the maker said it is the right one although it weighs otherwise than known.
   */
  | {
      readonly kind: 'placed';
      readonly draw: string;
      readonly vessel: string;
      readonly scale: string;
      readonly load: Mass;
      readonly zero: Mass;
      readonly unusual: boolean;
    }
  /** Too much: the draw settled above its band. */
  | { readonly kind: 'held'; readonly draw: string; readonly net: Mass; readonly over: Mass }
  /** A weight was accepted. All masses are settled readings; `net` is what was weighed. */
  | {
      readonly kind: 'weighed';
      readonly draw: string;
      readonly ingredient: string;
      readonly lot: string;
      readonly vessel: string;
      readonly scale: string;
      readonly way: Way;
      readonly target: Mass;
      readonly low: Mass;
      readonly high: Mass;
      readonly before: Mass;
      readonly after: Mass;
      readonly net: Mass;
      /** What was taken back out after an over-pour (largest settled net minus net); 0 if nothing. */
      readonly takenBack: Mass;
      /** Expanded, about 95 %. */
      readonly uncertainty: Mass;
      /** By which factor k; absent in an older log, where it is always 2. */
      readonly coverage?: number | undefined;
      /** What it is made of: standard uncertainties. */
      readonly budget: Budget;
      readonly how: 'dwell' | 'key' | 'keyed';
      readonly deviation: Deviation | null;
      /** The lot was used up by this draw. */
      readonly lotEnded: boolean;
      readonly pour?: PourNote | undefined;
      /** Absent for a scale whose figures are typed, and in older logs. */
      readonly trace?: PourTrace | undefined;
      /** The second person who looked at it. */
      readonly witness?: string | undefined;
    }
  /** The rest of a draw goes on as a draw of its own: out of another lot, or into another vessel (or the emptied cup). */
  | {
      readonly kind: 'split';
      readonly draw: string;
      readonly why: 'full' | 'lot-ended';
      /** Nothing had been drawn at all: all of it is the rest. */
      readonly nothingYet: boolean;
      readonly rest: PlannedDraw;
      /** The vessel that the rest goes into, where the plan has none such; null: the plan's own. */
      readonly newVessel: PlannedVessel | null;
    }
  /** A cup was tipped into the vessel and weighed back. `residue` is what stayed in it. */
  | {
      readonly kind: 'tipped';
      readonly draw: string;
      readonly vessel: string;
      readonly residue: Mass;
      readonly deviation: Deviation | null;
    }
  /** What was in the cup, on the spoon or in the vessel was thrown away; `amount` left the lot for nothing. */
  | {
      readonly kind: 'discarded';
      readonly draw: string;
      readonly lot: string;
      readonly amount: Mass;
      readonly reason: string;
    }
  /**
   * What was taken back out after an over-pour, before its draw was accepted, was not thrown away: it is in its jar again,
   * or was set aside to be used. Without this fact it is waste.
   */
  | {
      readonly kind: 'returned';
      readonly draw: string;
      readonly ingredient: string;
      readonly lot: string;
      readonly amount: Mass;
      readonly to: 'jar' | 'aside';
    }
  /** A vessel with all that was in it was given up; the draws are to be done again. */
  | { readonly kind: 'given-up'; readonly vessel: string; readonly draws: readonly string[]; readonly reason: string }
  /**
   * Too much could not be taken back, so the maker had the batch scaled up: from here on the batch goes by `plan`,
   * which holds what is done, top-ups of it, and new targets for the rest.
   */
  | {
      readonly kind: 'rescued';
      /** The draw that was held; null when it had been accepted. */
      readonly draw: string | null;
      /** Every draw in its proportion, or what is in just within its band. */
      readonly meant: 'exact' | 'within bands';
      readonly from: { readonly mass: Mass; readonly bars: number | null };
      readonly plan: Plan;
      /** Draws of the plan that are new, for more of what is in already. */
      readonly topUps: readonly string[];
      /** What the maker said yes to, a sentence. */
      readonly say: string;
    }
  /** A step between draws was begun (again, for each burst); its time is the fact's own. */
  | { readonly kind: 'step-begun'; readonly step: string; readonly burst: number; readonly how?: StepHow | undefined }
  | {
      readonly kind: 'step-done';
      readonly step: string;
      readonly bursts: number;
      readonly how?: StepHow | undefined;
      /** What stuck to a vessel that was emptied into another or rinsed, if it was weighed back. */
      readonly weighedBack?: WeighedBack | undefined;
    }
  /** A vessel was weighed as a whole against the sum of its draws; the step is done. */
  | {
      readonly kind: 'sum-checked';
      readonly step: string;
      readonly vessel: string;
      readonly scale: string;
      readonly expected: Mass;
      readonly found: Mass;
      /** How far off it may be by what is known of the weighings. */
      readonly allowed: Mass;
      /** Draws that the difference looks like. */
      readonly suspects: readonly Suspect[];
      /** Why it was left as it is although it is off; null when it is right. */
      readonly reason: string | null;
    }
  /** Double entry: a lot's jar was weighed before or after a draw from it; the step is done. */
  | {
      readonly kind: 'jar-weighed';
      readonly step: string;
      readonly draw: string;
      readonly lot: string;
      readonly when: 'before' | 'after';
      readonly scale: string;
      readonly load: Mass;
      /** What has left it since the weighing before, and how far that may be off what came in; null before. */
      readonly left: Mass | null;
      readonly allowed: Mass | null;
      /** Why it was left as it is although jar and draw disagree; null when they agree. */
      readonly reason: string | null;
    }
  /** Within moments the maker took back what was accepted last: it counts as if it had not been said. */
  | {
      readonly kind: 'undone';
      readonly corrects: number;
      readonly of: Undoable;
      /** The draw or step. */
      readonly id: string;
      readonly how: 'key' | 'put-back';
    }
  /** A scale could not be trusted for a while in the middle of a draw. */
  | { readonly kind: 'scale-lost'; readonly scale: string; readonly draw: string | null; readonly say: string }
  | { readonly kind: 'scale-back'; readonly scale: string; readonly draw: string | null }
  /**
   * The empty pan showed that its zero had moved by more than is recorded as uncertain for these draws, which were
   * weighed since it was last seen empty. `shift`: its reading now minus the one before.
   */
  | { readonly kind: 'zero-shifted'; readonly scale: string; readonly shift: Mass; readonly draws: readonly string[] }
  | ({ readonly kind: 'lot-received' } & LotReceived)
  /** No batch may use it until it is released. */
  | { readonly kind: 'lot-blocked'; readonly ingredient: string; readonly lot: string; readonly reason: string }
  | { readonly kind: 'lot-released'; readonly ingredient: string; readonly lot: string; readonly reason: string }
  /** A jar was weighed, or found to hold another amount than the book says. */
  | {
      readonly kind: 'stock-taken';
      readonly ingredient: string;
      readonly lot: string;
      /** The jar with its content, and clean and empty. */
      readonly gross: Mass;
      readonly tare: Mass;
      /** null: the figure was typed. */
      readonly scale: string | null;
      /** `gross - tare`, not below 0. */
      readonly found: Mass;
      readonly book: Mass;
      /** `found - book`: what stock goes up or down by. */
      readonly difference: Mass;
      readonly reason: string;
    }
  /**
   * The fact right before this one took more out of a lot than the book had in it: the book was wrong by `short`. It
   * stands and falls with that fact.
   */
  | {
      readonly kind: 'lot-short';
      readonly draw: string;
      readonly ingredient: string;
      readonly lot: string;
      readonly book: Mass;
      readonly short: Mass;
    }
  /** The label of a jar was typed or scanned, and is the right one. */
  | {
      readonly kind: 'lot-confirmed';
      readonly draws: readonly string[];
      readonly ingredient: string;
      readonly lot: string;
      readonly label: string;
    }
  /** Something was measured and written down: `pH` `5.4`. The step that asks for it, or null. */
  | { readonly kind: 'measured'; readonly step: string | null; readonly what: string; readonly value: string }
  /** A correction: names the fact it corrects (its seq; this fact has a seq of its own) and says why. */
  | { readonly kind: 'corrected'; readonly corrects: number; readonly note: string; readonly reason: string }
  | BarHappened
  | HandOverHappened
  | ({ readonly kind: 'finished' } & ZeroUnseen)
  | ({ readonly kind: 'abandoned'; readonly reason: string } & ZeroUnseen);

/** What happened, before it has a place in the log. */
export type Happened = HappenedHere | (BroughtIn & Beside);

/** A fact in the log. */
export type Fact = Happened & {
  /** Batch id, e.g. `2026-11-25-1`. */
  readonly batch: string;
  /** Place in the workshop's log, from 1, without gaps. */
  readonly seq: number;
  /** UTC time with the local offset, ISO 8601: `2026-11-25T10:00:23.120+01:00`. */
  readonly at: string;
  /** The operator. */
  readonly by: string;
};

export type FactKind = Happened['kind'];

/** Where facts go. Resolves when they are on the disk for good, rejects with a sentence for the maker otherwise. */
export interface FactLog {
  append(batch: string, by: string, happened: readonly Happened[]): Promise<readonly Fact[]>;
}
