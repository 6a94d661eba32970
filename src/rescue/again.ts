/** Work that a top-up makes necessary once more: melted stuff is melted again, mixed stuff mixed again. */
import { isArrival } from '../facts/broughtIn.ts';
import type { StepKind } from '../formula/model.ts';
import type { PlannedStep } from '../plan/model.ts';
import type { Line } from './lines.ts';
import type { RescueInput } from './model.ts';

const REPEATED: readonly StepKind[] = ['melt', 'whisk', 'mix', 'sum'];

function doneSteps({ state }: Pick<RescueInput, 'state'>): PlannedStep[] {
  return state.plan.tasks.filter(
    (task): task is PlannedStep => task.kind === 'step' && state.steps[task.id]?.done === true,
  );
}

/** Whether the batch is pressed: nothing can be mixed in any more. */
export function isPressed(input: Pick<RescueInput, 'state'>): boolean {
  return doneSteps(input).some(({ step }) => step === 'press');
}

/** Whether anything was emptied into a vessel. */
function isMerged(input: Pick<RescueInput, 'state'>, vessel: string): boolean {
  return doneSteps(input).some(({ step, into }) => step === 'combine' && into === vessel);
}

/**
 * The steps to repeat after top-ups into a vessel. As long as it holds its own phases only, all melting, whisking,
 * mixing and weighing as a whole that came after; once others are in it, the last mixing is the one that still makes sense.
 */
export function stepsAgain(input: Pick<RescueInput, 'state'>, vessel: string, lines: readonly Line[]): PlannedStep[] {
  const { plan } = input.state;
  const phases = new Set(plan.phases.filter((phase) => phase.vessel === vessel).map(({ id }) => id));
  const isAgain = (each: PlannedStep) => REPEATED.includes(each.step) && phases.has(each.phase) && !isArrival(each);
  const done = doneSteps(input).filter(isAgain);
  const mixes = done.filter(({ step }) => step === 'mix');
  const own = done.filter((step) => lines.some((line) => isAfter(input, step, line)));
  const taken = new Set(plan.tasks.map(({ id }) => id));
  return (isMerged(input, vessel) ? mixes.slice(-1) : own).map((step) => {
    let times = 2;
    const base = step.id.split('.')[0] ?? step.id;
    while (taken.has(`${base}.${times}`)) times += 1;
    taken.add(`${base}.${times}`);
    return { ...step, id: `${base}.${times}`, say: step.say.startsWith(AGAIN) ? step.say : `${AGAIN}${step.say}` };
  });
}

const AGAIN = 'Once more, for the top-up: ';

function isAfter({ state }: Pick<RescueInput, 'state'>, step: PlannedStep, { phase, parts }: Line): boolean {
  const place = (id: string) => state.plan.tasks.findIndex((task) => task.id === id);
  return step.phase === phase.id && parts.some(({ draw }) => place(draw.id) < place(step.id));
}

/** What has to be minded when more of a line goes in late: heat above all. */
export function lateCautions(input: Pick<RescueInput, 'state'>, vessel: string, line: Line) {
  const melts = doneSteps(input).filter(
    (step) =>
      step.step === 'melt' &&
      (isAfter(input, step, line) ||
        input.state.plan.phases.some((phase) => phase.id === step.phase && phase.vessel === vessel)),
  );
  const isMelted = line.phase.vessel !== vessel && melts.some((step) => isAfter(input, step, line));
  return {
    cautions: melts.flatMap(({ cautions }) => cautions),
    note: isMelted ? 'Top-up. It was melted before it went in: melt this apart and add it warm.' : 'Top-up.',
  };
}
