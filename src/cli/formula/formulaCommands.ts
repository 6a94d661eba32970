/** The commands `bismar formula ...`. */
import type { Command, Option } from 'commander';
import type { ExitCode } from '../exit.ts';

type Run = (work: () => Promise<ExitCode>) => Promise<void>;

interface ImportFlags {
  readonly in: string;
  readonly name?: string;
  readonly decimal?: string;
  readonly amounts?: string;
  readonly sum?: string;
  readonly vessel: readonly string[];
  readonly band?: string;
  readonly same: readonly string[];
}

const gather = (each: string, before: readonly string[]): readonly string[] => [...before, each];

export function formulaCommands(program: Command, run: Run, inFolder: Option): Command {
  const formula = program.command('formula').description('bring, write and look over formulas');
  formula
    .command('import')
    .description('bring a formula out of a spreadsheet (CSV); asks what the sheet does not tell')
    .argument('<file>')
    .option('--name <name>', "the formula's name (the file's)")
    .option('--amounts <what>', 'what the numbers count: percent, parts, or a unit such as g')
    .option('--decimal <mark>', 'point or comma')
    .option('--sum <how>', 'scale: shares that are only rounded are taken as parts of what they add up to')
    .option('--vessel <vessel>', 'what it is made in; for one phase: A=VESSEL (again for others)', gather, [])
    .option('--same <name=ingredient>', 'which ingredient of the workshop a name means (again for others)', gather, [])
    .option('--band <band>', 'how far each weight may be off', '2 %')
    .addOption(inFolder)
    .action((file: string, options: ImportFlags) =>
      run(async () => (await import('./formulaImport.ts')).formulaImport(file, options)),
    );
  formula
    .command('export')
    .description('a formula as CSV, for a spreadsheet')
    .argument('<formula>')
    .addOption(inFolder)
    .action((name: string, options: { in: string }) =>
      run(async () => (await import('./formulaExport.ts')).formulaExport(name, options)),
    );
  formula
    .command('new')
    .description('write a formula by answering questions')
    .option('--name <name>', 'its name')
    .addOption(inFolder)
    .action((options: { in: string; name?: string }) =>
      run(async () => (await import('./formulaNew.ts')).formulaNew(options)),
    );
  formula
    .command('check')
    .description('look a formula over: all that is wrong with it at once')
    .argument('<formula>', 'a formula of the workshop, or a path to its file')
    .addOption(inFolder)
    .action((name: string, options: { in: string }) =>
      run(async () => (await import('./formulaCheck.ts')).formulaCheck(name, options)),
    );
  return formula;
}
