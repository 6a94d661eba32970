/** The bench view of a state of the weighing chart. */
import { isDone, nextTask, wanted } from '../../facts/wanted.ts';
import type { Plan, PlannedDraw, Task } from '../../plan/model.ts';
import type { WeighingSnapshot } from '../../weighing/station.ts';
import type { BenchView, DoneDraw, Timer } from '../view.ts';
import { choicesFor } from './choices.ts';
import { gatherList } from './gather.ts';
import { gramsOn, scaleName, targetOn } from './names.ts';
import { noticesFor } from './notices.ts';
import { savedWords, wordsFor } from './words.ts';

export interface Around {
  readonly reasonsOpen: boolean;
  /** When the running step's clock was started. */
  readonly timer?: Timer | undefined;
  /** The draw that was accepted a moment ago; it is told in place of what comes next. */
  readonly saved?: string | undefined;
  /** Who weighs. */
  readonly by?: string | undefined;
  /** Said while everything is looked out, before the batch. */
  readonly notes?: readonly string[] | undefined;
  /** A dim line at the bottom. */
  readonly foot?: string | undefined;
}

export function benchViewOf(
  snapshot: WeighingSnapshot,
  { reasonsOpen, timer, foot, saved, by, notes = [] }: Around,
): BenchView {
  const { batch } = snapshot.context;
  const { plan } = batch;
  const words = saved === undefined ? wordsFor(snapshot) : savedWords(snapshot, saved);
  const task = nextTask(batch);
  const keyed = task?.kind === 'draw' && plan.scales[task.scale]?.keyed === true;
  return {
    ...words,
    detail: [...(words.mood !== 'gather' ? noticesFor(snapshot) : notes), ...words.detail],
    ...(reasonsOpen ? { say: 'Why is it kept?' } : {}),
    title: `${plan.formula.name} ${plan.formula.version}, batch ${batch.batch}`,
    by,
    where: words.mood === 'gather' && by !== undefined ? `weighed by ${by}` : whereOf(plan, task),
    cautions: words.mood === 'gather' ? plan.cautions : (task?.cautions ?? []),
    choices: choicesFor(snapshot, reasonsOpen),
    done: doneDraws(snapshot),
    next: comingTasks(snapshot),
    timer,
    list: words.mood === 'gather' ? gatherList(plan, batch.scales) : undefined,
    ask:
      keyed && asksForNumber(snapshot) && !reasonsOpen
        ? { prompt: `What does the ${scaleName(task.scale)} show, in grams?`, kind: 'number' }
        : undefined,
    foot,
  };
}

function asksForNumber(snapshot: WeighingSnapshot): boolean {
  return ['placing', 'pouring', 'hold', 'tipping'].some((state) => snapshot.matches(state as 'placing'));
}

function whereOf(plan: Plan, task: Task | undefined): string {
  if (!task) return 'All done';
  const phase = plan.phases.find(({ id }) => id === task.phase);
  const draws = plan.tasks.filter((each) => each.kind === 'draw');
  const place = `${task.phase} ${phase?.name ?? ''}`.trim();
  if (task.kind === 'step') return `${place}, ${task.step}`;
  return `${place}, draw ${draws.indexOf(task) + 1} of ${draws.length}`;
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
  const from = now ? batch.plan.tasks.indexOf(now) + 1 : batch.plan.tasks.length;
  return batch.plan.tasks
    .slice(from)
    .filter((task) => !isDone(batch, task))
    .map((task) => (task.kind === 'step' ? task.say : drawLine(task, batch)));
}

function drawLine(draw: PlannedDraw, batch: WeighingSnapshot['context']['batch']): string {
  return `${draw.name} ${targetOn(batch.plan, draw.scale, wanted(batch, draw).target)}`;
}
