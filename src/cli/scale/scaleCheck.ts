/** `bismar scale check`: the daily check of the scales with check weights. */
import { createInterface } from 'node:readline';
import type { Readable } from 'node:stream';
import { LEAST_SERIES, usualSeries } from '../../accept/budget.ts';
import { checkLimits, chooseWeights, type Tables } from '../../accept/checkLimits.ts';
import type { CheckWeight } from '../../accept/checkWeights.ts';
import { cleanText } from '../../facts/cleanText.ts';
import { SCALES } from '../../facts/fact.ts';
import { realClock } from '../../link/clock.ts';
import { decimalsOf, printMass } from '../../mass/text.ts';
import type { BatchLog } from '../../records/batchLog.ts';
import type { Scale, Workshop } from '../../workshop/model.ts';
import { Ending, EXIT, type ExitCode } from '../exit.ts';
import { loadWorkshop } from '../folder.ts';
import { openScales } from '../weigh/scales.ts';
import { operator, withLog } from '../withLog.ts';
import { wrapped } from '../wrapped.ts';
import { checkDialog } from './checkDialog.ts';
import { createCheckPan, Left } from './checkPan.ts';
import { type PanWatch, watchPan } from './panWatch.ts';

export interface ScaleCheckOptions {
  readonly in: string;
  readonly by?: string | undefined;
  /** Weighings of the series; default: `usualSeries`. */
  readonly series?: string | undefined;
  readonly corners?: boolean | undefined;
  /** The tables for a scale without data of its own; default `oiml`. */
  readonly tables?: string | undefined;
}

/** What the maker types, and where the words go. */
export interface CheckTalk {
  readonly input: Readable;
  readonly print: (line: string) => void;
}

const TERMINAL: CheckTalk = {
  input: process.stdin,
  print: (line) => void process.stdout.write(`${wrapped(line, process.stdout.columns).join('\n')}\n`),
};

/** Checks one scale, or all of the workshop in turn. @returns done when all have passed */
export async function scaleCheck(
  name: string | undefined,
  options: ScaleCheckOptions,
  talk: CheckTalk = TERMINAL,
): Promise<ExitCode> {
  const workshop = loadWorkshop(options.in);
  const plans = scalesNamed(workshop, name).map((scale) => planCheck(workshop, scale, options));
  const by = operator(workshop, options.by);
  const lines = createInterface({ input: talk.input });
  let watch: PanWatch | undefined;
  let ended = false;
  lines.on('line', (line) => watch?.hear(line));
  lines.on('close', () => {
    ended = true;
    watch?.hear(undefined);
  });
  const print = (line: string) => talk.print(cleanText(line));
  try {
    return await withLog(options.in, async (log) => {
      let failed = false;
      for (const plan of plans) {
        const [seat] = await openScales(options.in, workshop, [plan.scale.id], realClock);
        if (!seat) throw new Ending(EXIT.noScale, `The ${plan.scale.id} scale could not be opened.`);
        watch = watchPan(seat, realClock);
        if (ended) watch.hear(undefined);
        try {
          failed = !(await check(plan, watch, log, by, print)) || failed;
        } finally {
          await watch.stop();
        }
      }
      return failed ? EXIT.failed : EXIT.done;
    });
  } catch (error) {
    if (error instanceof Left)
      throw new Ending(EXIT.failed, 'The check was left before its end. Nothing was recorded.');
    throw error;
  } finally {
    lines.close();
  }
}

interface CheckPlan {
  readonly scale: Scale;
  readonly limits: NonNullable<ReturnType<typeof checkLimits>>;
  readonly weights: readonly [CheckWeight, ...CheckWeight[]];
  readonly leave: ReturnType<typeof chooseWeights>['leave'];
  readonly series: number;
  readonly corners: boolean;
}

async function check(
  { scale, limits, weights, leave, series, corners }: CheckPlan,
  watch: PanWatch,
  log: BatchLog,
  by: string,
  say: (line: string) => void,
): Promise<boolean> {
  for (const { weight, why } of leave) say(`Not used: ${nameOf(weight)}; ${why}.`);
  const pan = createCheckPan({ watch, d: scale.d, keyed: scale.port === undefined, say });
  const fact = await checkDialog({ scale, pan, limits, weights, series, corners, say });
  await log.append(SCALES, by, [fact]);
  return fact.passed;
}

function nameOf({ nominal, weightClass }: CheckWeight): string {
  return `${printMass(nominal, { decimals: decimalsOf(nominal) })} g ${weightClass}`;
}

function scalesNamed({ scales }: Workshop, name: string | undefined): readonly Scale[] {
  if (name === undefined) return [...scales.values()];
  const scale = scales.get(name);
  if (!scale) throw new Ending(EXIT.wrongUse, `Which scale? There are: ${[...scales.keys()].join(', ')}.`);
  return [scale];
}

function planCheck(workshop: Workshop, scale: Scale, options: ScaleCheckOptions): CheckPlan {
  const limits = checkLimits(scale, tablesFrom(options.tables));
  if (!limits) {
    throw new Ending(
      EXIT.wrongUse,
      `No accuracy class fits the ${scale.id} scale. Say in the workshop file how far off it may be: permissible error: 0.2 g`,
    );
  }
  const { use, leave } = chooseWeights(workshop.checkWeights, scale, limits);
  const [first, ...rest] = use;
  if (!first) {
    const why = leave.map(({ weight, why }) => ` ${nameOf(weight)}: ${why}.`).join('');
    throw new Ending(
      EXIT.wrongUse,
      `There is no check weight for the ${scale.id} scale in the workshop file.${why} Put one under \`check weights:\`, such as {nominal: 1000 g, class: M1}.`,
    );
  }
  return {
    scale,
    limits,
    weights: [first, ...rest],
    leave,
    series: options.series === undefined ? usualSeries(scale.repeatability) : seriesFrom(options.series),
    corners: options.corners === true,
  };
}

function tablesFrom(text: string | undefined): Tables {
  if (text === undefined || text === 'oiml' || text === 'handbook-44') return text ?? 'oiml';
  throw new Ending(EXIT.wrongUse, '--tables wants oiml or handbook-44.');
}

function seriesFrom(text: string): number {
  const count = Number(text);
  if (/^\d{1,2}$/.test(text) && count >= LEAST_SERIES && count <= 50) return count;
  throw new Ending(EXIT.wrongUse, `--series wants a whole number of ${LEAST_SERIES} to 50; USP 41 wants at least 10.`);
}
