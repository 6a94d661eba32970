/** What the hands-off demo reads where a check asks for a value: made up, and within the window that is wanted. */
import type { Happened } from '../../facts/fact.ts';
import type { Plan } from '../../plan/model.ts';
import type { Random } from '../../simulate/seededRandom.ts';

const decimalsOf = (text: string) => text.split('.')[1]?.length ?? 0;

/** @returns undefined for a step that asks for none */
export function madeUpReading(step: string, { tasks }: Pick<Plan, 'tasks'>, random: Random): Happened | undefined {
  const task = tasks.find((each) => each.kind === 'step' && each.id === step);
  if (task?.kind !== 'step' || !task.measure) return undefined;
  const { what, from, to } = task.measure;
  const decimals = Math.max(decimalsOf(from), decimalsOf(to));
  const unit = 10 ** decimals;
  const [low, high] = [Math.round(Number(from) * unit), Math.round(Number(to) * unit)];
  const value = low + Math.floor(random.next() * (high - low + 1));
  return { kind: 'measured', step, what, value: (value / unit).toFixed(decimals) };
}
