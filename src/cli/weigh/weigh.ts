/** `bismar weigh` and `bismar resume`. */
import { planned, stateOf } from '../../facts/apply.ts';
import type { BatchState } from '../../facts/batchState.ts';
import { cleanText } from '../../facts/cleanText.ts';
import type { Fact, Happened } from '../../facts/fact.ts';
import type { Formula } from '../../formula/model.ts';
import { realClock } from '../../link/clock.ts';
import { ownScales, type Plan } from '../../plan/model.ts';
import type { BatchEntry, BatchLog } from '../../records/batchLog.ts';
import { earlierPours, LOOK_BACK_FACTS } from '../../records/earlierPours.ts';
import { scalesStand } from '../../records/lastChecks.ts';
import { batchMeant } from '../../records/resolveBatch.ts';
import { benchId } from '../../records/shared/benchId.ts';
import { keepStock } from '../../records/stockKeeper.ts';
import { type Learnt, NOTHING_LEARNT } from '../../weighing/pourWatch.ts';
import type { Workshop } from '../../workshop/model.ts';
import { Ending, EXIT, type ExitCode } from '../exit.ts';
import { loadWorkshop } from '../folder.ts';
import { planFor, type SizeOptions } from '../planning.ts';
import { writeRecordPage } from '../records/recordPage.ts';
import { startSharing } from '../shared/sharing.ts';
import { countFirst, operator, withLog } from '../withLog.ts';
import { createCueSound } from './cueSound.ts';
import { hint } from './hint.ts';
import { openLineFront } from './lineFront.ts';
import { openBatchLines, openBatchNotes } from './openBatches.ts';
import { formulaNow, rescueFinder } from './rescuing.ts';
import { openScales } from './scales.ts';
import { guardTerminal } from './terminal.ts';
import { runWorkbench, SAVED_MS, type ShowAs } from './workbench.ts';

export interface BenchOptions {
  readonly showAs: ShowAs;
  readonly by?: string | undefined;
  readonly in: string;
}

/** Begins a batch and weighs it. */
export async function weigh(
  formula: string | undefined,
  options: BenchOptions & SizeOptions & { readonly handOver?: readonly string[] | undefined },
): Promise<ExitCode> {
  const workshop = loadWorkshop(options.in);
  await countFirst(options.in);
  const { plan, formula: read } = planFor(options.in, workshop, formula, options);
  const by = operator(workshop, options.by);
  const handed = options.handOver === undefined ? [] : await handedAtOnce(options.handOver, options.in, plan);
  const assumed = options.by === undefined && workshop.operators.length > 1;
  return withLog(options.in, async (log) => {
    const scales = await openScales(options.in, workshop, Object.keys(ownScales(plan)), realClock);
    const open = log.openBatches();
    const batch = log.newBatchId();
    const stand = scalesStand(log, ownScales(plan));
    const begun = await log.append(batch, by, [{ kind: 'batch-started', plan }, stand, ...handed]);
    const at = { log, by, scales, options, workshop, formula: read, told: begun, open, assumed };
    return atBench(stateOf(begun), at);
  });
}

async function handedAtOnce(texts: readonly string[], folder: string, plan: Plan): Promise<readonly Happened[]> {
  const { handedOver, handOversAsked } = await import('../shared/handOversAsked.ts');
  return handedOver(planned('', plan), handOversAsked(texts, folder));
}

/** Goes on with a batch that was left, or cut off. */
export async function resume(wanted: string | undefined, options: BenchOptions): Promise<ExitCode> {
  const workshop = loadWorkshop(options.in);
  return withLog(options.in, async (log) => {
    const found = batchMeant(log, wanted, { open: true });
    if (!found.ok) throw new Ending(EXIT.failed, found.say);
    const { id } = found.batch;
    const facts = log.facts(id);
    const before = stateOf(facts);
    const { plan, unseen } = before;
    // Whoever weighed last goes on, unless another is named.
    const by =
      options.by === undefined ? (facts.at(-1)?.by ?? operator(workshop, undefined)) : operator(workshop, options.by);
    const scales = await openScales(options.in, workshop, Object.keys(ownScales(plan)), realClock);
    if (before.partOf?.confirmed === false)
      await (await import('../shared/join.ts')).confirmJoined(log, options.in, before, by);
    const told = await log.append(id, by, [
      { kind: 'resumed', ...(unseen.length > 0 ? { zeroUnseen: unseen } : {}) },
      scalesStand(log, ownScales(plan)),
    ]);
    const formula = formulaNow(options.in, plan.formula.id, workshop);
    return atBench(stateOf(log.facts(id)), { log, by, scales, options, workshop, formula, told, open: [] });
  });
}

interface Begun {
  readonly log: BatchLog;
  readonly by: string;
  readonly scales: Awaited<ReturnType<typeof openScales>>;
  readonly options: BenchOptions;
  /** What was written before the bench came up; how the scales stand is told on it. */
  readonly told: readonly Fact[];
  /** Other batches that are open: told, so that none is begun anew by mistake. */
  readonly open: readonly BatchEntry[];
  readonly workshop: Workshop;
  /** As its file is now; a sentence where it can't be read any more. */
  readonly formula: Formula | string;
  /** Nobody was named, and there are several who could be meant. */
  readonly assumed?: boolean;
}

/** A fact of another batch that is damaged must not keep this one from being weighed: nothing is learnt then. */
function learntFrom(log: BatchLog, { tasks }: Plan): Learnt {
  try {
    const draws = tasks.filter((task) => task.kind === 'draw');
    return earlierPours(log, LOOK_BACK_FACTS, {
      scales: [...new Set(draws.map(({ scale }) => scale))],
      ingredients: [...new Set(draws.map(({ ingredient }) => ingredient))],
    });
  } catch {
    return NOTHING_LEARNT;
  }
}

/** Weighs a batch that is begun, until it has ended or the maker leaves. */
export async function atBench(
  batch: BatchState,
  { log, by, scales, options, workshop, formula, told, open, assumed = false }: Begun,
): Promise<ExitCode> {
  const sound = workshop.cueSound;
  const { showAs } = options;
  const goOn = hint(`resume ${batch.batch}`, options.in);
  const print = (line: string) => void process.stdout.write(`${line}\n`);
  const aside = showAs === 'json' ? (line: string) => void process.stderr.write(`${line}\n`) : print;
  for (const line of openBatchLines(open, options.in, (id) => log.facts(id))) aside(line);
  if (showAs !== 'screen')
    aside(cleanText(`Weighed by ${by}${assumed ? ', the first in workshop.yaml' : ''} (--by NAME for another).`));
  const { sharedHistory } = workshop;
  // Loaded by those who have a shared history alone.
  const others =
    sharedHistory &&
    (await import('../shared/otherBenches.ts')).watchBeside(() => benchId(options.in), batch, realClock);
  const sharing =
    sharedHistory &&
    startSharing(sharedHistory, { folder: options.in, log, clock: realClock, alongside: others?.look });
  const release = guardTerminal(showAs === 'screen');
  try {
    const { code, ended } = await runWorkbench({
      batch,
      scales,
      log: keepStock(log, workshop),
      by,
      clock: realClock,
      learnt: learntFrom(log, batch.plan),
      blockedFor: (ingredient, lot) => log.stock((stock) => stock.lot(ingredient, lot)).blocked,
      findRescue: rescueFinder({ workshop, formula, log }),
      notes: [
        ...openBatchNotes(open),
        ...(assumed ? ['Is it not you who weighs? Leave with q, and say --by NAME.'] : []),
      ],
      savedMs: showAs === 'screen' ? SAVED_MS : 0,
      ...(sharing ? { foot: sharing.line } : {}),
      ...(others ? { others: others.others, alongside: others.at } : {}),
      openFront: async (input) => {
        release.onSignal(input.leave);
        // Facts as JSON lines stay whole: there the bell goes where the other words for people go.
        const bell = showAs === 'json' ? process.stderr : process.stdout;
        const write = (text: string) => void bell.write(text);
        const cues = sound && createCueSound(sound, { folder: options.in, clock: realClock, write });
        if (showAs === 'screen') {
          const screen = (await import('./screenFront.ts')).openScreenFront(input, cues);
          sharing?.tell(() => screen.changed());
          others?.tell(() => screen.changed());
          return screen;
        }
        const front = openLineFront(input, {
          json: showAs === 'json',
          input: process.stdin,
          print,
          aside,
          sound: cues,
          onUnanswerable: () => input.giveUp(unanswered(goOn)),
        });
        sharing?.tell((line) => aside(`! ${line}`));
        others?.tell((lines) => lines.forEach((line) => void aside(`= ${line}`)));
        front.facts(told.filter(({ kind }) => kind === 'scales-stand'));
        return front;
      },
    });
    const unsent = await sharing?.stop();
    if (unsent !== undefined) aside(unsent);
    if (ended === 'open') {
      aside(`Batch ${batch.batch} is left open. Everything accepted is safe. Go on with:`);
      aside(`  ${goOn}`); // on a line of its own, so that it can be copied whole
    } else {
      const page = await writeRecordPage(options.in, log, batch.batch);
      const { partOf } = batch;
      const part = partOf ? `, part of ${partOf.role}/${partOf.of},` : '';
      aside(`Batch ${batch.batch}${part} is ${ended}. Its record: ${page}`);
      if (partOf && ended === 'finished' && unsent !== undefined) {
        aside(`${partOf.role} waits until this is sent. When the network is back, say:`);
        aside(`  ${hint('shared send', options.in)}`);
      }
      if (ended === 'finished' && batch.plan.bars !== null) {
        aside('Weigh off its bars with:');
        aside(`  ${hint(`portion ${batch.batch}`, options.in)}`);
      }
    }
    return code;
  } finally {
    await sharing?.stop();
    release.release();
  }
}

function unanswered(goOn: string): Ending {
  return new Ending(
    EXIT.failed,
    `Standard input has ended, and an answer is needed to go on. The batch is left open; everything accepted is safe. Keep the input open (each line is a key, an empty one is Enter) and go on with: ${goOn}`,
  );
}
