/** The commands about the history that several benches share. */
import { type Command, Option } from 'commander';
import type { ExitCode } from '../exit.ts';
import { showFrom } from '../records/showFrom.ts';
import type { HandOverOptions } from './handOver.ts';

type Run = (work: () => Promise<ExitCode>) => Promise<void>;

const inFolder = () => new Option('--in <folder>', "the workshop's folder").default('.');

/** For commands that read: the facts of all benches in place of this one's. */
export const allBenches = () => new Option('--all-benches', 'of all benches of the shared history');

/** @param show adds how a run at the bench is shown */
export function addSharedCommands(program: Command, run: Run, show: (command: Command) => Command): void {
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
  program
    .command('hand-over')
    .description(
      'phases of the open batch to another bench that shares the history, or back; without any: how they stand',
    )
    .argument('[phase...]', 'such as C')
    .option('--to <role>', 'the other bench, such as dye_room')
    .option('--back', 'take them back, where the other bench has begun nothing')
    .option('--lost <text>', 'take them back all the same, and why nothing weighed there gets into the batch')
    .option('--batch <batch>', 'of which batch (the open one)')
    .option('--by <name>', 'who does it')
    .addOption(inFolder())
    .action((phases: readonly string[], options: HandOverOptions) =>
      run(async () => (await import('./handOver.ts')).handOver(phases, options)),
    );
  show(program.command('join'))
    .description('weigh phases that another bench has handed to this one')
    .argument('[role/batch]', 'such as wet_room/2026-11-25-1; none where only one is there')
    .option('--phase <phase>', 'which phase, where more of that batch are handed over')
    .option('--by <name>', 'who weighs')
    .addOption(inFolder())
    .action(
      (of: string | undefined, options: { plain?: boolean; json?: boolean; phase?: string; by?: string; in: string }) =>
        run(async () => (await import('./join.ts')).joinBatch(of, { ...options, showAs: showFrom(options) })),
    );
  for (const command of shared.commands) command.exitOverride();
}
