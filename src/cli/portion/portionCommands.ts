/** The commands about bars: `bismar portion`, `bismar contents`. */
import { type Command, Option } from 'commander';
import type { ExitCode } from '../exit.ts';
import type { ContentsOptions } from '../records/contents.ts';
import { showFrom } from '../records/showFrom.ts';
import type { PortionOptions } from './portion.ts';

interface PortionFlags extends Omit<PortionOptions, 'showAs'> {
  readonly plain?: boolean;
  readonly json?: boolean;
}

export function addPortionCommands(program: Command, run: (work: () => Promise<ExitCode>) => Promise<void>): void {
  const inFolder = new Option('--in <folder>', "the workshop's folder").default('.');
  program
    .command('portion')
    .description('weigh off the bars of a batch, or weigh marked bars again')
    .argument('[batch]')
    .option('--set-point <mass>', 'what a bar should weigh as pressed, such as 75g; `least`: the smallest that will do')
    .option('--label <mass>', 'net weight on the label, such as 70g or 2.5oz (as the formula has it)')
    .option('--band <mass>', 'how far a bar may be off either way (2 % of the set-point)')
    .option('--scale <scale>', 'which scale the bars are weighed on')
    .option('--more', 'weigh off more bars although they were said to be all')
    .option('--again', 'weigh marked bars once more: what they lost is learnt')
    .option('--by <name>', 'who weighs')
    .option('--plain', 'one line per happening in place of the screen')
    .option('--json', 'one JSON object per fact')
    .addOption(inFolder)
    .action((batch: string | undefined, options: PortionFlags) =>
      run(async () => (await import('./portion.ts')).portion(batch, { ...options, showAs: showFrom(options) })),
    );
  program
    .command('contents')
    .description('the net contents of the bars of a batch, judged by the published rules of the EU and the US')
    .argument('[batch]')
    .option('--label <mass>', 'net weight on the label, such as 70g or 2.5oz (as the formula has it)')
    .option('--json', 'for other programs')
    .addOption(inFolder)
    .action((batch: string | undefined, options: ContentsOptions) =>
      run(async () => (await import('../records/contents.ts')).contents(batch, options)),
    );
}
