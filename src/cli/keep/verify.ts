/** `bismar verify`: the proof of the log, which reads and works while another bismar weighs; and making it anew. */
import { join } from 'node:path';
import { cleanText } from '../../facts/cleanText.ts';
import { rebuildLog } from '../../records/rebuildLog.ts';
import { type Verification, verifyLog } from '../../records/verify.ts';
import { Ending, EXIT, type ExitCode } from '../exit.ts';
import { LOG_FILE } from '../folder.ts';
import { hint } from '../weigh/hint.ts';

export interface VerifyOptions {
  /** The last fact as a printed record shows it. */
  readonly last?: string | undefined;
  readonly rebuild?: boolean | undefined;
  readonly in: string;
}

const print = (line: string) => void process.stdout.write(`${cleanText(line)}\n`);

/** @throws LogTrouble where the log can't be looked at, or is to be made anew and is in use */
export async function verify(options: VerifyOptions): Promise<ExitCode> {
  const printed = printedSeal(options.last);
  if (!options.rebuild) return tell(verifyLog(join(options.in, LOG_FILE), printed), options);
  const rebuilt = rebuildLog(options.in, { printed });
  if (!rebuilt.done) {
    const code = tell(rebuilt.found, options);
    if (rebuilt.found.ok) print('There is nothing to mend, and nothing was changed.');
    return code;
  }
  tellDamages(rebuilt.found);
  print('All facts are whole. The log was made anew from them, proved, and put in place.');
  print(`The broken file is kept beside it as ${rebuilt.kept}. Look at the disk: what broke it may come again.`);
  return tell(rebuilt.proof, options);
}

function tellDamages({ damages }: Verification): void {
  for (const { seq, what } of damages) print(`${seq === null ? 'log' : `fact ${seq}`}: ${what}`);
}

function tell(found: Verification, options: VerifyOptions): ExitCode {
  tellDamages(found);
  for (const note of found.notes) print(`note: ${note}`);
  if (!found.ok) {
    print('The log is damaged. Copy the file as it is before anything else is done with it.');
    for (const line of whatNext(found, options)) print(line);
    return EXIT.damagedLog;
  }
  print(`The log is whole: ${found.facts} facts, each follows from the one before.`);
  print(`Last: ${found.facts}:${found.lastHash}`);
  if (options.last === undefined) {
    print(
      `Whether facts were cut off at the end shows against a printed record: ${hint('verify --last SEQ:HASH', options.in)}`,
    );
  }
  return EXIT.done;
}

function whatNext({ factsWhole, facts, wholeUpTo }: Verification, options: VerifyOptions): string[] {
  if (factsWhole) {
    return [
      `All ${facts} facts that were found are whole; what is broken lies beside them, and can be made anew from them:`,
      `  ${hint('verify --rebuild', options.in)}   (close every bismar in this workshop first; the broken file is kept)`,
    ];
  }
  const whole =
    wholeUpTo === 0 ? 'No fact can be proved' : `Facts 1 to ${wholeUpTo} are whole; those behind are not proved`;
  return [
    `${whole}, and nothing was changed: facts are never mended. Bring a backup back into a new folder:`,
    `  ${hint('restore FILE DIR')}`,
  ];
}

/** The place and hash that a printed record shows, as `78:3f2a...`. */
function printedSeal(text: string | undefined): { seq: number; hash: string } | undefined {
  if (text === undefined) return undefined;
  const found = /^(\d{1,12}):([0-9a-f]{64})$/i.exec(text.trim());
  if (!found?.[1] || !found[2]) {
    throw new Ending(
      EXIT.wrongUse,
      '--last wants the number and the hash of the last fact, as a record prints them: 78:3f2a...',
    );
  }
  return { seq: Number(found[1]), hash: found[2].toLowerCase() };
}
