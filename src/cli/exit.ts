/** How a command ends. */
export const EXIT = {
  done: 0,
  /** The job failed. */
  failed: 1,
  /** Wrong use: unknown command, bad option, faulty file. */
  wrongUse: 2,
  /** The scale was not usable. */
  noScale: 3,
  /** The batch log is damaged. */
  damagedLog: 4,
} as const;

export type ExitCode = (typeof EXIT)[keyof typeof EXIT];

/** Ends a command with a sentence for the maker on standard error. */
export class Ending extends Error {
  readonly code: ExitCode;

  constructor(code: ExitCode, sentence: string) {
    super(sentence);
    this.name = 'Ending';
    this.code = code;
  }
}
