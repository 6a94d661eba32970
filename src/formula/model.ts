/** A formula as its file in `formulas/` describes it. */
import type { Mass } from '../mass/mass.ts';

/** How a draw is done. */
export type Way = 'add' | 'subtract' | 'cup';

/** What may happen when too much has gone in: never kept, kept after asking for a reason, kept with a note. */
export type Over = 'never' | 'ask' | 'forgiving';

/**
 * How far a draw may be off its target. Each side is a share of the target in parts per million, and never
 * narrower than `floor` where one is given; or a plain mass.
 */
export interface Tolerance {
  readonly under: { readonly ppm: number } | { readonly mass: Mass };
  readonly over: { readonly ppm: number } | { readonly mass: Mass };
  readonly floor: Mass | undefined;
}

/** The kinds of work between draws. */
export type StepKind = 'melt' | 'whisk' | 'combine' | 'rinse' | 'mix' | 'rest' | 'press' | 'check' | 'sum' | 'jar';

export interface FormulaDraw {
  readonly kind: 'draw';
  readonly ingredient: string;
  /** Of the whole batch, a whole number out of the formula's `whole`: parts per million unless it says otherwise. */
  readonly share: number;
  readonly tolerance: Tolerance;
  readonly over: Over;
  /** Where the formula prescribes them; otherwise the plan chooses. */
  readonly way: Way | undefined;
  readonly scale: string | undefined;
  /** The cup or dish to weigh in, for the way `cup`. */
  readonly cup: string | undefined;
  /** A second person has to look at the weight before it counts. */
  readonly witness?: boolean | undefined;
  /** Double entry: the lot's jar is weighed before and after, and must have lost what came in. */
  readonly jar?: boolean | undefined;
  readonly note: string | undefined;
}

/** What is to be measured at a step, and the window that is wanted; a decimal number as it was written, `5.0`. */
export interface Measure {
  /** `pH`, `specific gravity`. */
  readonly what: string;
  readonly from: string;
  readonly to: string;
}

export interface FormulaStep {
  readonly kind: 'step';
  readonly step: StepKind;
  /** One sentence: what to do. */
  readonly say: string;
  /** For combine and rinse: the vessel that is emptied, or rinsed; it goes into `into`. */
  readonly vessel: string | undefined;
  readonly into: string | undefined;
  /** Length of one burst, mixing or rest, milliseconds. */
  readonly forMs: number | undefined;
  /** The most bursts, for melting in bursts. */
  readonly times: number | undefined;
  /** What ends it: `72 C, clear`. */
  readonly until: string | undefined;
  /** For a check. */
  readonly measure?: Measure | undefined;
  readonly cautions: readonly string[];
}

export interface Phase {
  readonly id: string;
  readonly name: string;
  readonly vessel: string;
  /** Draws and steps in the order of work. */
  readonly work: readonly (FormulaDraw | FormulaStep)[];
}

/** The highest level of an ingredient, or of several together. */
export interface Ceiling {
  readonly ingredients: readonly string[];
  /** Parts per million of the batch on its basis. */
  readonly ppm: number;
  /** Loss in drying, parts per million of the batch as weighed; 0 for a level as weighed. */
  readonly dryingPpm: number;
  /** Where the level comes from, a phrase: `the safety assessment`. */
  readonly why: string;
}

/** Whether a product stays on the skin or is rinsed off. */
export type Use = 'rinse-off' | 'leave-on';

/** A net weight as it is to be printed, digit for digit. */
export interface NetDeclared {
  readonly number: string;
  readonly unit: 'g' | 'kg' | 'oz' | 'lb';
}

/** What the formula says for the label; undefined where it says nothing. */
export interface FormulaLabel {
  readonly net: NetDeclared | undefined;
  readonly use: Use | undefined;
  /** Loss in drying, parts per million of the weight as weighed. */
  readonly dryingPpm: number | undefined;
}

export interface Formula {
  /** File name without its ending. */
  readonly id: string;
  readonly name: string;
  readonly version: string;
  /** Weight of one pressed bar; undefined for crafts without bars. */
  readonly bar: Mass | undefined;
  /** Bars of a usual batch. */
  readonly bars: number | undefined;
  /** Mass of a usual batch, where there are no bars. */
  readonly batch: Mass | undefined;
  /** Share lost between weighing and pressing, parts per million. */
  readonly lossPpm: number;
  readonly phases: readonly Phase[];
  /** What all shares add up to; 1 000 000 when left out. Parts and active matter may need a finer one. */
  readonly whole?: number | undefined;
  /** All parts together, in millionths of a part, where the shares were written as parts. */
  readonly parts?: number | undefined;
  /** Highest levels; none when left out. */
  readonly limits?: readonly Ceiling[];
  readonly label?: FormulaLabel | undefined;
  readonly cautions: readonly string[];
}
