/** The commands for shells and for the manual, all made from the definitions of the others. */
import { Argument, type Command } from 'commander';
import type { ExitCode } from './exit.ts';

type Run = (work: () => Promise<ExitCode>) => Promise<void>;

export function addShellCommands(program: Command, run: Run): void {
  program
    .command('completion')
    .description('a script for your shell, so that the Tab key completes commands and names')
    .addArgument(new Argument('<shell>').choices(['bash', 'zsh', 'fish', 'powershell']))
    .action((shell: 'bash' | 'zsh' | 'fish' | 'powershell') =>
      run(async () => (await import('./complete.ts')).completion(shell)),
    );
  // What that script asks at each press of the key: `bismar complete -- WORDS`.
  program
    .command('complete', { hidden: true })
    .argument('[words...]')
    .allowUnknownOption()
    .action((words: readonly string[]) => run(async () => (await import('./complete.ts')).complete(program, words)));
  program
    .command('manual')
    .description('the manual page, for man and groff')
    .action(() => run(async () => (await import('./manual.ts')).manual(program)));
}
