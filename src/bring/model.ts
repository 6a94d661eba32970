/** A formula on its way from a spreadsheet: what was understood, and what has to be asked. */
import type { Decimal } from '../mass/text.ts';
import type { Unit } from '../mass/units.ts';

/** One row of the spreadsheet, cells cleaned and trimmed. */
export interface Row {
  /** Line of the file that it begins on, from 1. */
  readonly line: number;
  readonly cells: readonly string[];
}

/** What the numbers of a sheet count. */
export type Amounts = 'percent' | 'parts' | Unit;

/** How much of an ingredient: a plain number in the sheet's own counting, or what is left to 100. */
export type Amount = Decimal | 'rest';

export interface DraftLine {
  /** Line of the file, from 1; 0 where there is no file. */
  readonly line: number;
  /** As the maker wrote it. */
  readonly name: string;
  readonly inci: string | undefined;
  readonly phase: string;
  readonly amount: Amount;
  readonly note: string | undefined;
}

export interface DraftPhase {
  /** One to three letters. */
  readonly id: string;
  readonly name: string;
}

/** A formula as the sheet tells it; its ingredients are still the maker's own names. */
export interface Draft {
  readonly amounts: Amounts;
  readonly phases: readonly DraftPhase[];
  readonly lines: readonly DraftLine[];
  /** Sentences about what was taken how. */
  readonly notes: readonly string[];
}

/** Something that the sheet does not tell. */
export interface Question {
  /** The option that answers it on the command line, such as `--decimal`. */
  readonly option: string;
  /** One or two sentences. */
  readonly ask: string;
  /** Answers, each with its meaning; empty where the answer is free. */
  readonly choices: readonly { readonly answer: string; readonly means: string }[];
}

/** Answers of the maker, each undefined until given. */
export interface Answers {
  /** Whether the mark in `1.234` is a decimal point, or separates thousands; the same for the comma. */
  readonly decimal?: 'point' | 'comma' | undefined;
  readonly amounts?: Amounts | undefined;
  /** `scale`: shares that do not add up to 100 % are taken as parts. */
  readonly sum?: 'scale' | undefined;
}

export type Understood =
  | { readonly kind: 'draft'; readonly draft: Draft }
  | { readonly kind: 'questions'; readonly questions: readonly Question[] }
  /** Sentences: what is wrong, and what to do. */
  | { readonly kind: 'faults'; readonly faults: readonly string[] };
