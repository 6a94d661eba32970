/** What was measured, beside what was wanted. */
import type { Fact } from '../../facts/fact.ts';
import type { Measure } from '../../formula/model.ts';
import { isInWindow } from '../../formula/readMeasure.ts';
import { windowInWords } from '../../plan/inWords.ts';
import type { Plan } from '../../plan/model.ts';

type Measured = Pick<Fact & { kind: 'measured' }, 'step' | 'what' | 'value'>;

/** The window that a step asks for. */
function wantedAt(plan: Plan | undefined, step: string | null): Measure | undefined {
  const task = plan?.tasks.find((each) => each.kind === 'step' && each.id === step);
  return task?.kind === 'step' ? task.measure : undefined;
}

/** Whether a value lies outside the window that its step asks for. */
export function isOutside({ step, value }: Measured, plan: Plan): boolean {
  const wanted = wantedAt(plan, step);
  return wanted !== undefined && !isInWindow(value, wanted);
}

/** `measured pH 5.4 (wanted 5.0 to 5.6)`; outside of the window that is said. */
export function measuredInWords({ step, what, value }: Measured, plan: Plan | undefined): string {
  const wanted = wantedAt(plan, step);
  const found = `measured ${what} ${value}`;
  if (wanted === undefined) return found;
  return `${found} (${windowInWords(wanted)}${isInWindow(value, wanted) ? '' : ': OUTSIDE'})`;
}
