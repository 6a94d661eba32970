/** The bench view of a state of the weighing chart. */
import type { BatchState } from '../../facts/batchState.ts';
import { isElsewhere, isWaiting } from '../../facts/handOver.ts';
import { isDone } from '../../facts/isDone.ts';
import { nextTask, wanted } from '../../facts/wanted.ts';
import type { PlannedDraw, Task } from '../../plan/model.ts';
import { NO_RESCUE } from '../../weighing/findRescue.ts';
import { rescueToRead } from '../../weighing/rescueNow.ts';
import type { WeighingSnapshot } from '../../weighing/station.ts';
import { scaleInHand } from '../../weighing/unseenNow.ts';
import type { BenchView, DoneDraw, Mood, Timer } from '../view.ts';
import { choicesFor } from './choices.ts';
import { type Others, othersWords } from './elsewhereWords.ts';
import { gatherList } from './gather.ts';
import { gramsOn, placeOf, scaleName, targetOn } from './names.ts';
import { noticesFor } from './notices.ts';
import { type Page, stillOpen } from './pages.ts';
import { recapLines } from './recapWords.ts';
import { offerList, offerWords, sizesWords } from './rescueWords.ts';
import { savedWords, type Words, wordsFor } from './words.ts';

export interface Around {
  /** The page of answers that the maker has turned to. */
  readonly page?: Page | undefined;
  /** When the running step's clock was started. */
  readonly timer?: Timer | undefined;
  /** The draw that was accepted a moment ago; it is told in place of what comes next. */
  readonly saved?: string | undefined;
  /** The batch was left and has just been taken up again. */
  readonly takenUp?: boolean | undefined;
  /** Who weighs. */
  readonly by?: string | undefined;
  /** Why something that was said beside the walk is not in the log: a sentence, told before all else. */
  readonly unwritten?: string | undefined;
  /** Said while everything is looked out, before the batch. */
  readonly notes?: readonly string[] | undefined;
  /** How other benches stand with this batch. */
  readonly others?: Others | undefined;
  /** A dim line at the bottom. */
  readonly foot?: string | undefined;
}

const NO_OTHERS: Others = { lines: [] };

export function benchViewOf(
  snapshot: WeighingSnapshot,
  { page: opened, timer, foot, saved, by, takenUp = false, unwritten, notes = [], others = NO_OTHERS }: Around,
): BenchView {
  const { batch } = snapshot.context;
  const { plan } = batch;
  const page = stillOpen(snapshot, opened);
  const now = saved === undefined ? (othersWords(snapshot, others) ?? wordsFor(snapshot)) : savedWords(snapshot, saved);
  const words = page === undefined ? now : wordsOn(page, snapshot, now);
  // While it is waited for, that is what matters; else it is a line at the foot.
  const whileWaiting = snapshot.matches('elsewhere') ? others.lines : [];
  const task = nextTask(batch);
  const keyed = keyedScale(snapshot);
  return {
    ...words,
    recap: isRecapWanted(snapshot, takenUp) ? recapLines(snapshot) : undefined,
    detail: [
      ...(unwritten === undefined ? [] : [unwritten]),
      ...(words.mood !== 'gather' ? noticesFor(snapshot) : notes),
      ...whileWaiting,
      ...words.detail,
    ],
    title: `${plan.formula.name} ${plan.formula.version}, ${nameOf(batch)}`,
    by,
    where: words.mood === 'gather' && by !== undefined ? `weighed by ${by}` : whereOf(batch, task),
    cautions: words.mood === 'gather' ? plan.cautions : (task?.cautions ?? []),
    choices: choicesFor(snapshot, page),
    done: doneDraws(snapshot),
    next: batch.ended === 'open' ? comingTasks(snapshot) : [],
    timer,
    list: listFor(snapshot, page, words.mood),
    ask:
      keyed !== undefined && page === undefined
        ? { prompt: `What does the ${scaleName(keyed)} show, in grams?`, kind: 'number' }
        : undefined,
    foot: foot === undefined || foot === '' ? (footOf(others.lines, whileWaiting) ?? foot) : foot,
  };
}

function footOf(others: readonly string[], told: readonly string[]): string | undefined {
  return told.length > 0 ? undefined : others[0];
}

/** After a stop; and after a return, until the hand goes on: then the live number says it better. */
function isRecapWanted(snapshot: WeighingSnapshot, takenUp: boolean): boolean {
  if (snapshot.matches('paused')) return !snapshot.context.justUndone;
  return (
    takenUp &&
    (['placing', 'blind', 'step', 'summing', 'jar', 'tipping'] as const).some((state) => snapshot.matches(state))
  );
}

/** The words of a page. @param now those of the state that it was opened in */
function wordsOn(page: Page, { context }: WeighingSnapshot, now: Words): Words {
  if (page === 'reasons') return { ...now, say: 'Why is it kept?' };
  return page === 'sizes' ? sizesWords(rescueToRead(context) ?? NO_RESCUE) : offerWords(page.offer);
}

function listFor({ context: { batch } }: WeighingSnapshot, page: Page | undefined, mood: Mood): BenchView['list'] {
  if (typeof page === 'object') return offerList(page.offer);
  return mood === 'gather' ? gatherList(batch) : undefined;
}

/** The scale whose figure has to be typed now; undefined when none. */
function keyedScale(snapshot: WeighingSnapshot): string | undefined {
  const { context } = snapshot;
  const asks = (['placing', 'pouring', 'hold', 'tipping', 'lastLook'] as const).some((state) =>
    snapshot.matches(state),
  );
  const scale = scaleInHand(context);
  return asks && scale !== undefined && context.batch.plan.scales[scale]?.keyed ? scale : undefined;
}

/** A part is known by the batch that it belongs to: its own name may be that of another bench's batch. */
function nameOf({ batch, partOf }: BatchState): string {
  return partOf ? `part of ${partOf.role}/${partOf.of}` : `batch ${batch}`;
}

function whereOf(batch: BatchState, task: Task | undefined): string {
  const { plan } = batch;
  if (!task) return isWaiting(batch) ? 'At the other bench' : 'All done';
  const phase = plan.phases.find(({ id }) => id === task.phase);
  const place = `${task.phase} ${phase?.name ?? ''}`.trim();
  if (task.kind === 'step') return `${place}, ${task.step}`;
  return `${place}, draw ${placeOf(batch, task)}`;
}

function doneDraws({ context: { batch } }: WeighingSnapshot): readonly DoneDraw[] {
  return batch.plan.tasks.flatMap((task) => {
    const net = task.kind === 'draw' ? batch.draws[task.id]?.net : undefined;
    if (task.kind !== 'draw' || net == null) return [];
    return [{ name: task.name, net: gramsOn(batch.plan, task.scale, net) }];
  });
}

function comingTasks({ context: { batch } }: WeighingSnapshot): readonly string[] {
  const now = nextTask(batch);
  return batch.plan.tasks
    .filter((task) => task !== now && !isDone(batch, task) && !isElsewhere(batch, task))
    .map((task) => (task.kind === 'step' ? task.say : drawLine(task, batch)));
}

function drawLine(draw: PlannedDraw, batch: WeighingSnapshot['context']['batch']): string {
  // Until the parts before it are weighed, a later part is expected to be what was planned.
  const { part } = draw;
  const isNext = part === null || part.index === 1 || partsBefore(draw, batch).every((each) => isDone(batch, each));
  const target = isNext ? wanted(batch, draw).target : draw.target;
  return `${draw.name} ${targetOn(batch.plan, draw.scale, target)}`;
}

function partsBefore({ part }: PlannedDraw, { plan }: WeighingSnapshot['context']['batch']): readonly Task[] {
  return plan.tasks.filter(
    (task) => task.kind === 'draw' && task.part?.group === part?.group && (task.part?.index ?? 0) < (part?.index ?? 0),
  );
}
