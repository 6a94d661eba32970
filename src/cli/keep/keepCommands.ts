/** The commands that keep a workshop safe. */
import type { Command, Option } from 'commander';
import type { ExitCode } from '../exit.ts';

type Run = (work: () => Promise<ExitCode>) => Promise<void>;

export function addKeepCommands(program: Command, run: Run, inFolder: Option): void {
  program
    .command('backup')
    .description('the whole workshop in one file, also while a batch is weighed')
    .argument('<file>')
    .addOption(inFolder)
    .action((file: string, options: { in: string }) =>
      run(async () => (await import('./keep.ts')).backup(file, options.in)),
    );
  program
    .command('restore')
    .description('make a workshop of a backup, after its log is proved whole')
    .argument('<file>', 'the backup')
    .argument('<dir>', 'a new folder')
    .action((file: string, dir: string) => run(async () => (await import('./keep.ts')).restoreTo(file, dir)));
  program
    .command('export')
    .description('everything as plain files: facts as JSON lines, each batch as JSON, CSV and page')
    .argument('<dir>', 'a new folder')
    .addOption(inFolder)
    .action((dir: string, options: { in: string }) =>
      run(async () => (await import('./keep.ts')).exportTo(dir, options.in)),
    );
}
