/** `bismar portion --again`: marked bars on the scale once more, after they have dried for a while. */
import { createInterface } from 'node:readline';
import type { Readable } from 'node:stream';
import { dryingOf, tooSoon, unlikelyAgain } from '../../contents/drying.ts';
import { dryingInWords } from '../../contents/inWords.ts';
import { type Bar, type BarAgain, barsOf } from '../../facts/bars.ts';
import { cleanText } from '../../facts/cleanText.ts';
import { realClock } from '../../link/clock.ts';
import { type Mass, ZERO } from '../../mass/mass.ts';
import { certaintyOfBar } from '../../portion/mayCount.ts';
import type { BatchLog } from '../../records/batchLog.ts';
import { spelled } from '../../records/record/recordWords.ts';
import { safeJson } from '../../records/safeJson.ts';
import type { Workshop } from '../../workshop/model.ts';
import { Ending, EXIT, type ExitCode } from '../exit.ts';
import { recordOf } from '../records/recordPage.ts';
import { createCheckPan, Left } from '../scale/checkPan.ts';
import { watchPan } from '../scale/panWatch.ts';
import { factLine } from '../weigh/factLine.ts';
import { hint } from '../weigh/hint.ts';
import { openScales } from '../weigh/scales.ts';
import type { PortionOptions } from './portion.ts';
import { barScaleOf } from './portionSetup.ts';

export interface WeighAgain {
  readonly log: BatchLog;
  readonly workshop: Workshop;
  readonly batch: string;
  readonly by: string;
  readonly options: Pick<PortionOptions, 'in' | 'scale' | 'showAs'>;
  readonly input?: Readable;
}

/** Asks for the bar's number, weighs it, tells its loss; until an empty line. */
export async function weighAgain(of: WeighAgain): Promise<ExitCode> {
  const { log, workshop, batch, by, options, input = process.stdin } = of;
  const { plan, bars } = recordOf(log, batch);
  if (bars === null || bars.bars.length === 0) {
    throw new Ending(
      EXIT.failed,
      `No bars of batch ${cleanText(batch)} were weighed yet: \`${hint(`portion ${batch}`, options.in)}\` weighs them off.`,
    );
  }
  const id = options.scale ?? bars.scale;
  const scale = workshop.scales.get(id);
  if (!scale) throw new Ending(EXIT.wrongUse, `Which scale? There are: ${[...workshop.scales.keys()].join(', ')}.`);
  const json = options.showAs === 'json';
  const print = (line: string) => void process.stdout.write(`${line}\n`);
  const aside = json
    ? (line: string) => void process.stderr.write(`${cleanText(line)}\n`)
    : (line: string) => print(cleanText(line));
  const [seat] = await openScales(options.in, workshop, [id], realClock);
  if (!seat) throw new Ending(EXIT.noScale, `The ${id} scale could not be opened.`);
  const watch = watchPan(seat, realClock);
  const lines = createInterface({ input });
  lines.on('line', (line) => watch.hear(line));
  lines.on('close', () => watch.hear(undefined));
  const pan = createCheckPan({ watch, d: scale.d, keyed: scale.port === undefined, say: aside });
  const barScale = barScaleOf(log, workshop, id);
  try {
    for (;;) {
      const bar = await whichBar(bars.bars, watch, aside);
      if (bar === undefined) break;
      if (bar === 'undo') {
        const last = lastAgain(barsOf(log.facts(batch))?.bars ?? []);
        if (last === undefined) aside('No bar was weighed again that could be taken back.');
        else if (await isYes(undoInWords(last), watch, aside)) {
          const undone = await log.append(batch, by, [{ kind: 'bar-again-undone', bar: last.bar }]);
          for (const fact of undone) print(json ? safeJson(fact) : factLine(fact, plan));
        }
        continue;
      }
      await pan.empty(`Take everything off the ${id} scale.`);
      const net = await pan.loaded(`Put bar ${bar.bar} on.`, bar.net);
      const { uncertainty } = certaintyOfBar(barScale, net, ZERO);
      const unlikely = unlikelyAgain(bar, net, uncertainty);
      if (unlikely !== undefined && !(await isYes(unlikelyInWords(bar, net, unlikely), watch, aside))) continue;
      const written = await log.append(batch, by, [
        { kind: 'bar-weighed-again', bar: bar.bar, net, scale: id, uncertainty },
      ]);
      for (const fact of written) print(json ? safeJson(fact) : factLine(fact, plan));
      aside(
        `It weighed ${(bar.net / 1e6).toFixed(2)} g as pressed: ${(((bar.net - net) / bar.net) * 100).toFixed(1)} % lost. Was it another bar? u takes it back; or weigh bar ${bar.bar} once more: its last weighing counts.`,
      );
    }
  } catch (error) {
    if (!(error instanceof Left)) throw error;
  } finally {
    lines.close();
    await watch.stop();
  }
  const now = barsOf(log.facts(batch));
  for (const line of learntSoFar(now?.bars ?? [])) aside(line);
  return EXIT.done;
}

function learntSoFar(bars: readonly Bar[]): string[] {
  if (!bars.some(({ again }) => again.length > 0)) return [];
  const learnt = dryingOf(bars, undefined);
  const soon = tooSoon(bars);
  return [
    ...(soon === 0
      ? []
      : [`Weighed again less than a day after it was made, a bar says nothing of drying: ${soon} of them so far.`]),
    ...(learnt.from === 'bars' ? [`So far: ${dryingInWords(learnt)}.`] : []),
    'Three bars of a day or more count in place of what the formula states.',
  ];
}

const grams = (of: Mass) => `${(of / 1e6).toFixed(2)} g`;

/** Asked once where it is more likely another bar. */
function unlikelyInWords({ bar, net: pressed }: Bar, net: Mass, why: string): string {
  return `Bar ${bar} weighed ${grams(pressed)} as pressed, this weighs ${grams(net)}: ${why}. Is it that bar? y writes it down, anything else does not.`;
}

/** The weighing that was written down last, whichever bar it was of; undefined when there is none. */
function lastAgain(bars: readonly Bar[]): (BarAgain & { readonly bar: number }) | undefined {
  const all = bars.flatMap(({ bar, again }) => again.slice(-1).map((each) => ({ bar, ...each })));
  return all.reduce<(typeof all)[number] | undefined>(
    (last, each) => (last && last.at > each.at ? last : each),
    undefined,
  );
}

function undoInWords({ bar, net, at, by }: BarAgain & { readonly bar: number }): string {
  return `The last one was bar ${bar}, ${grams(net)}, ${spelled(at)}, by ${by}. y takes it back, anything else leaves it.`;
}

async function isYes(question: string, watch: ReturnType<typeof watchPan>, say: (line: string) => void) {
  say(question);
  for (;;) {
    const news = await watch.next();
    if (news.kind === 'input-ended') throw new Left();
    if (news.kind !== 'typed') continue;
    if (/^y(es)?$/i.test(news.text.trim())) return true;
    say('Nothing was written down.');
    return false;
  }
}

/** The bar that is meant; undefined: no more. */
async function whichBar(
  bars: readonly Bar[],
  watch: ReturnType<typeof watchPan>,
  say: (line: string) => void,
): Promise<Bar | 'undo' | undefined> {
  say('Which bar? Its number; u takes back the last weighing, an empty line ends.');
  for (;;) {
    const news = await watch.next();
    if (news.kind === 'input-ended') return undefined;
    if (news.kind !== 'typed') continue;
    const text = news.text.trim();
    if (text === '' || text === 'q') return undefined;
    if (text === 'u') return 'undo';
    const found = /^\d{1,6}$/.test(text) ? bars.findLast(({ bar }) => bar === Number(text)) : undefined;
    if (found) return found;
    say(`There is no such bar. There are ${bars[0]?.bar} to ${bars.at(-1)?.bar}.`);
  }
}
