/** `bismar note`: writes down what was measured, such as the pH that a check asks for. */

import { stateOf } from '../../facts/apply.ts';
import { cleanText } from '../../facts/cleanText.ts';
import { isInWindow, readValue } from '../../formula/readMeasure.ts';
import type { Plan } from '../../plan/model.ts';
import { batchMeant } from '../../records/resolveBatch.ts';
import { plainText } from '../../workshop/quantities.ts';
import { Ending, EXIT, type ExitCode } from '../exit.ts';
import { loadWorkshop } from '../folder.ts';
import { factLine } from '../weigh/factLine.ts';
import { operator, withLog } from '../withLog.ts';

export interface NoteOptions {
  readonly batch?: string;
  readonly step?: string;
  readonly by?: string;
  readonly in: string;
}

const nameOfIt = plainText('what was measured', 40);

/** What strips and meters for a bench can show. (Common practice, no source.) */
const PH = { from: '0', to: '14' };

function isPh(what: string): boolean {
  return /^ph\b/i.test(what.trim());
}

/** The step that asks for it: the one named, else the first whose check measures the same. */
function stepFor(plan: Plan, what: string, named: string | undefined): string | null {
  const steps = plan.tasks.filter((task) => task.kind === 'step');
  if (named === undefined) {
    return steps.find(({ measure }) => measure?.what.toLowerCase() === what.toLowerCase())?.id ?? null;
  }
  if (steps.some(({ id }) => id === named)) return named;
  const asking = steps.flatMap(({ id, measure }) => (measure ? [`${id} (${measure.what})`] : []));
  const there =
    asking.length === 0 ? 'No step of it asks for a value.' : `These ask for a value: ${asking.join(', ')}.`;
  throw new Ending(EXIT.wrongUse, `The batch has no step "${cleanText(named)}". ${there}`);
}

export function note(what: string, value: string, options: NoteOptions): Promise<ExitCode> {
  const name = nameOfIt.safeParse(what);
  const number = readValue(value.replace(',', '.'));
  if (!name.success || number === undefined) {
    throw new Ending(EXIT.wrongUse, 'note wants what was measured and a number, such as: note pH 5.4');
  }
  if (isPh(name.data) && !isInWindow(number, PH)) {
    const say = `A pH of ${number} can't be: the scale goes from 0 to 14. Nothing was written down. Read it again, then: note pH 5.4`;
    throw new Ending(EXIT.wrongUse, say);
  }
  const by = operator(loadWorkshop(options.in), options.by);
  return withLog(options.in, async (log) => {
    const found = batchMeant(log, options.batch);
    if (!found.ok) throw new Ending(EXIT.failed, found.say);
    const { id } = found.batch;
    const { plan } = stateOf(log.facts(id));
    const step = stepFor(plan, name.data, options.step);
    const [fact] = await log.append(id, by, [{ kind: 'measured', step, what: name.data, value: number }]);
    if (fact) process.stdout.write(`${id} ${factLine(fact, plan)}\n`);
    return EXIT.done;
  });
}
