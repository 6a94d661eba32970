/** The commands about the history that several benches share. */
import { type Command, Option } from 'commander';
import type { ExitCode } from './exit.ts';

type Run = (work: () => Promise<ExitCode>) => Promise<void>;

const inFolder = () => new Option('--in <folder>', "the workshop's folder").default('.');

/** For commands that read: the facts of all benches in place of this one's. */
export const allBenches = () => new Option('--all-benches', 'of all benches of the shared history');

export function addSharedCommands(program: Command, run: Run): void {
  const shared = program.command('shared').description('one history of several benches, in a PostgreSQL database');
  shared
    .command('setup')
    .description("print the SQL that makes a database a shared history, to be run by the database's owner")
    .argument('<role...>', 'a name for each bench, such as wet_room')
    .action((roles: readonly string[]) => run(async () => (await import('./shared.ts')).setup(roles)));
  shared
    .command('state')
    .description('what has not arrived yet, and which benches share the history')
    .addOption(inFolder())
    .action((options: { in: string }) => run(async () => (await import('./shared.ts')).state(options.in)));
  shared
    .command('send')
    .description('send now what has not arrived yet')
    .addOption(inFolder())
    .action((options: { in: string }) => run(async () => (await import('./shared.ts')).send(options.in)));
  shared
    .command('anew')
    .description('make this folder a bench of its own, after it was copied or an older log was put back')
    .addOption(inFolder())
    .action((options: { in: string }) => run(async () => (await import('./shared.ts')).anew(options.in)));
  for (const command of shared.commands) command.exitOverride();
}
