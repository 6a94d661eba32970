/** All commands of `bismar`. Each loads what it needs when it runs, so that `--version` starts fast. */
import { Command, CommanderError, Option } from 'commander';
import { cleanText } from '../facts/cleanText.ts';
import { nearest } from '../workshop/nearest.ts';
import { Ending, EXIT, type ExitCode } from './exit.ts';
import { formulaCommands } from './formula/formulaCommands.ts';
import { addKeepCommands } from './keep/keepCommands.ts';
import type { VerifyOptions } from './keep/verify.ts';
import type { PlanOptions } from './plan.ts';
import type { SizeOptions } from './planning.ts';
import { addPortionCommands } from './portion/portionCommands.ts';
import type { InsightOptions } from './records/insight.ts';
import type { LogOptions, RecordOptions } from './records/records.ts';
import { showFrom } from './records/showFrom.ts';
import type { TraceOptions } from './records/trace.ts';
import { addSharedCommands, allBenches } from './shared/sharedCommands.ts';
import { addShellCommands } from './shellCommands.ts';
import type { LabelOptions } from './stock/label.ts';
import { addStockCommands } from './stock/stockCommands.ts';
import { version } from './version.ts';
import { hint } from './weigh/hint.ts';

/** What a command hands back: its exit code. */
type Run = () => Promise<ExitCode>;

interface ShowOptions {
  readonly plain?: boolean;
  readonly json?: boolean;
}

/** Builds the command line. @param run runs a command and keeps its exit code */
export function commandLine(run: (work: Run) => Promise<void>): Command {
  const program = new Command('bismar')
    .description(
      'Weighs small batches right: reads the scales live, says what to weigh next, stops a wrong weight before it goes into the bowl, and records what was really used.',
    )
    .version(version())
    .showHelpAfterError(`(${hint('--help')} shows all commands)`)
    .exitOverride();
  const inFolder = new Option('--in <folder>', "the workshop's folder").default('.');
  const show = (command: Command) =>
    command
      .option('--plain', 'one line per happening in place of the screen')
      .option('--json', 'one JSON object per fact');

  // `bismar` alone does something, so the library takes an unknown command, and its options, for arguments of that.
  program.argument('[command...]').usage('[command] [options]').allowUnknownOption().helpCommand(true);
  program.enablePositionalOptions().addOption(inFolder);
  program.action((words: readonly string[], options: { in: string }) => {
    const [word] = words;
    if (word !== undefined) unknownWord(program, word);
    return run(async () => (await import('./weigh/start.ts')).start(options.in));
  });
  // `bismar --in FOLDER plan` is `bismar plan --in FOLDER`.
  program.hook('preAction', (_, command) => {
    if (command === program || command.getOptionValueSource('in') !== 'default') return;
    if (program.getOptionValueSource('in') === 'cli') command.setOptionValue('in', program.getOptionValue('in'));
  });

  show(program.command('demo'))
    .description('a made-up workshop on simulated scales; you pour with keys')
    .option('--hands-off', 'it weighs by itself (always so without a terminal)')
    .option('--folder <dir>', "keep the demo's workshop there")
    .option('--speed <n>', 'simulated seconds per second, hands off')
    .action((options: ShowOptions & { handsOff?: boolean; folder?: string; speed?: string }) =>
      run(async () => {
        const { demo } = await import('./demo/demo.ts');
        const showAs = showFrom(options);
        const speed = options.speed === undefined ? undefined : Number(options.speed);
        if (speed !== undefined && !(speed > 0)) throw new Ending(EXIT.wrongUse, '--speed wants a number above zero.');
        const handsOff = options.handsOff === true || showAs !== 'screen';
        return demo({
          handsOff,
          showAs: handsOff && showAs === 'screen' ? 'screen' : showAs,
          folder: options.folder,
          speed,
        });
      }),
    );

  program
    .command('init')
    .description('make a workshop folder, asking what is needed')
    .argument('<dir>')
    .option('--yes', 'ask nothing, take the defaults')
    .action((dir: string, options: { yes?: boolean }) =>
      run(async () => (await import('./init.ts')).init(dir, options.yes === true)),
    );

  program
    .command('plan')
    .description('what a batch needs and whether it can be weighed')
    .argument('[formula]')
    .option('--bars <n>', 'so many bars')
    .option('--mass <mass>', 'so much in all, such as 1.8kg')
    .option('--most', 'as much as the jars allow')
    .option('--fill <vessel>', 'as much as a vessel has room for')
    .option('--why', 'also all that was considered for each draw, and what speaks against it')
    .option('--stock-solution <ingredient>', 'work out a stock of what is too little for the scales')
    .option('--carrier <ingredient>', "what the stock is made with (the formula's water)")
    .option('--good-for <days>', 'how long the stock may be used (the day it is made)')
    .option('--write', 'write the formulas of the stock, and enter it as an ingredient')
    .option('--json', 'for other programs')
    .addOption(inFolder)
    .action((formula: string | undefined, options: PlanOptions) =>
      run(async () => (await import('./plan.ts')).plan(formula, options)),
    );

  show(program.command('weigh'))
    .description('weigh a batch')
    .argument('[formula]')
    .option('--bars <n>', 'so many bars')
    .option('--mass <mass>', 'so much in all, such as 1.8kg')
    .option('--most', 'as much as the jars allow')
    .option('--fill <vessel>', 'as much as a vessel has room for')
    .option('--hand-over <phase=role...>', 'phases that another bench weighs, such as C=dye_room')
    .option('--by <name>', 'who weighs')
    .addOption(inFolder)
    .action(
      (
        formula: string | undefined,
        options: ShowOptions & SizeOptions & { by?: string; in: string; handOver?: readonly string[] },
      ) =>
        run(async () => (await import('./weigh/weigh.ts')).weigh(formula, { ...options, showAs: showFrom(options) })),
    );

  show(program.command('resume'))
    .description('go on where a batch stopped')
    .argument('[batch]')
    .option('--by <name>', 'who weighs')
    .addOption(inFolder)
    .action((batch: string | undefined, options: ShowOptions & { by?: string; in: string }) =>
      run(async () => (await import('./weigh/weigh.ts')).resume(batch, { ...options, showAs: showFrom(options) })),
    );

  addPortionCommands(program, run);

  const formula = formulaCommands(program, run, inFolder);

  const scale = program.command('scale').description('ports, profiles and live readings');
  scale
    .command('list')
    .description('ports of this computer and wire profiles')
    .addOption(inFolder)
    .action((options: { in: string }) => run(async () => (await import('./scale/scale.ts')).list(options.in)));
  scale
    .command('watch')
    .description('live readings of a scale, as they are understood')
    .argument('[scale]', 'a scale of the workshop')
    .option('--port <path>', 'a port, when the scale is not in the workshop file')
    .option('--profile <profile>', 'its wire profile')
    .option('--count <n>', 'end after so many lines')
    .addOption(inFolder)
    .action((name: string | undefined, options: { port?: string; profile?: string; count?: string; in: string }) =>
      run(async () => (await import('./scale/scale.ts')).watch(name, options)),
    );
  scale
    .command('teach')
    .description('learn how an unknown scale speaks, and write its wire profile')
    .argument('<name>', 'a name for the new profile, such as kitchen-scale')
    .option('--port <path>', 'the port that the scale is on')
    .option('--plain', 'plain lines (it always speaks in plain lines)')
    .addOption(inFolder)
    .action((name: string, options: { port?: string; in: string }) =>
      run(async () => (await import('./scale/scaleTeach.ts')).scaleTeach(name, options)),
    );
  scale
    .command('check-profile')
    .description('look a wire profile over: what its examples mean, or all that is wrong with it')
    .argument('<file>')
    .action((file: string) => run(async () => (await import('./scale/checkProfile.ts')).checkProfile(file)));

  scale
    .command('check')
    .description('the daily check with check weights, of one scale or of all')
    .argument('[scale]', 'a scale of the workshop')
    .option('--series <n>', 'weighings of the repeatability series (10; 5 where the workshop states a repeatability)')
    .option('--corners', 'the four corners of the pan too')
    .option('--tables <name>', 'oiml or handbook-44, for a scale without data of its own (oiml)')
    .option('--by <name>', 'who checks')
    .option('--plain', 'plain lines (it always speaks in plain lines)')
    .addOption(inFolder)
    .action(
      (
        name: string | undefined,
        options: { series?: string; corners?: boolean; tables?: string; by?: string; in: string },
      ) => run(async () => (await import('./scale/scaleCheck.ts')).scaleCheck(name, options)),
    );

  program
    .command('simulate')
    .description('a simulated scale that speaks PROFILE on a serial port or pseudo-terminal')
    .argument('<profile>')
    .option('--port <path>', 'the port to speak on; without it a pair of pseudo-terminals is made')
    .option('--capacity <mass>', 'largest load', '5kg')
    .option('--d <mass>', 'scale interval', '0.1g')
    .addOption(inFolder)
    .action((profile: string, options: { port?: string; capacity: string; d: string; in: string }) =>
      run(async () => (await import('./simulate.ts')).simulate(profile, options)),
    );

  program
    .command('log')
    .description('the facts')
    .argument('[batch]', '`scales` for the checks of the scales, `stock` for lots')
    .option('--json', 'one per line')
    .option('--all', 'of all batches')
    .option('--schema', 'the JSON Schema of such a line')
    .addOption(allBenches())
    .addOption(inFolder)
    .action((batch: string | undefined, options: LogOptions) =>
      run(async () => (await import('./records/records.ts')).log(batch, options)),
    );

  program
    .command('note')
    .description('write down what was measured: bismar note pH 5.4')
    .argument('<what>')
    .argument('<value>')
    .option('--batch <batch>', 'of which batch (the newest)')
    .option('--step <step>', 'at which step (the one that asks for it)')
    .option('--by <name>', 'who measured')
    .addOption(inFolder)
    .action((what: string, value: string, options: { batch?: string; step?: string; by?: string; in: string }) =>
      run(async () => (await import('./records/note.ts')).note(what, value, options)),
    );

  program
    .command('record')
    .description('the batch record, as text or as one of these')
    .argument('[batch]')
    .option('--html <file>', 'a printable page')
    .option('--csv', 'for a spreadsheet')
    .option('--json', 'for other programs')
    .option('--schema', 'the JSON Schema of what --json prints')
    .addOption(allBenches())
    .addOption(inFolder)
    .action((batch: string | undefined, options: RecordOptions) =>
      run(async () => (await import('./records/records.ts')).record(batch, options)),
    );

  program
    .command('trace')
    .description('where a lot went, and what else is in there; or what a batch came from')
    .argument('[lot|batch]', "a lot's own code or its supplier's, or a batch")
    .option('--ingredient <ingredient>', 'of which ingredient, where more lots have that code')
    .option('--html <file>', 'a recall sheet to print')
    .option('--csv', 'for a spreadsheet')
    .option('--json', 'for other programs')
    .option('--rebuild', 'count stock and traces anew from all facts first')
    .addOption(allBenches())
    .addOption(inFolder)
    .action((of: string | undefined, options: TraceOptions) =>
      run(async () => (await import('./records/trace.ts')).trace(of, options)),
    );

  program
    .command('pages')
    .description('all records as pages with an index to search, for a tablet or a printer; no server is needed')
    .argument('<dir>', 'an empty folder, or one that pages were written into before')
    .addOption(inFolder)
    .action((dir: string, options: { in: string }) =>
      run(async () => (await import('./records/pages.ts')).pages(dir, { ...options, version: version() })),
    );

  program
    .command('insight')
    .description('what the log teaches of hands, cups, scales and losses, and what might be done about it')
    .option('--last <n>', 'from the newest so many batches (200)')
    .option('--html <file>', 'a page with charts')
    .option('--json', 'for other programs')
    .addOption(inFolder)
    .action((options: InsightOptions) => run(async () => (await import('./records/insight.ts')).insight(options)));

  program
    .command('label')
    .description('what goes on the label: list of ingredients and net contents, of a finished batch or a formula')
    .argument('[batch|formula]')
    .option('--use <kind>', 'rinse-off or leave-on, where the formula does not say')
    .option('--net <mass>', 'net weight as it is to be printed, such as 70g or 2.5oz')
    .option('--as-stated-now', 'of a batch: what its ingredients are made of by the workshop file of today')
    .option('--json', 'for other programs')
    .addOption(inFolder)
    .action((of: string | undefined, options: LabelOptions) =>
      run(async () => (await import('./stock/label.ts')).label(of, options)),
    );

  program
    .command('verify')
    .description('prove that the log is whole and unchanged')
    .addOption(inFolder)
    .option('--last <seq:hash>', 'the last fact that a printed record shows')
    .option('--rebuild', 'where only what lies beside the facts is broken, make the log anew from them')
    .action((options: VerifyOptions) => run(async () => (await import('./keep/verify.ts')).verify(options)));

  addStockCommands(program, run);
  addKeepCommands(program, run, inFolder);
  addSharedCommands(program, run, show);
  addShellCommands(program, run);

  for (const command of [program, ...program.commands, ...scale.commands, ...formula.commands]) command.exitOverride();
  return program;
}

function unknownWord(program: Command, word: string): never {
  if (word.startsWith('-')) return program.error(`error: unknown option '${cleanText(word)}'`);
  const names = program.commands.map((command) => command.name());
  const near = nearest(word, names);
  return program.error(`error: unknown command '${cleanText(word)}'${near ? `\n(Did you mean ${near}?)` : ''}`);
}

export { CommanderError };
