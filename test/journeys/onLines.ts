/**
 * The maker's eyes and keys on a program without a screen: its last sentence, and for the number the scale's own
 * display, less what stood on the pan when the draw began.
 */
import { nextTask } from '../../src/facts/wanted.ts';
import { type Mass, mass, minus } from '../../src/mass/mass.ts';
import type { Bench } from './bench.ts';
import type { Glance } from './glance.ts';
import type { LinedProgram } from './linedProgram.ts';
import type { Program } from './maker.ts';

const ENDED = /^Batch \S+ is finished\./;
const SENTENCE = /^> ([^:]+): (.*?)(?: {2}\[.*)?$/;

export function onLines(program: LinedProgram, bench: Bench): Program {
  return {
    look: async () => {
      // After a fact the next sentence is still to come, unless it has come before: they go through two pipes.
      const isSaid = (line: string) => SENTENCE.test(line) || ENDED.test(line);
      const last = (program.isQuiet ? program.all.findLast(isSaid) : program.all.at(-1)) ?? '';
      const [, headline = ENDED.test(last) ? 'DONE' : undefined, say = ''] = SENTENCE.exec(last) ?? [];
      return headline === undefined ? undefined : { headline, say, draw: undefined, ...displayNow(bench), text: last };
    },
    press: (key) => program.press(key),
    seen: () => program.all.slice(-20).join('\n'),
  };
}

function displayNow(bench: Bench): Pick<Glance, 'net' | 'gross' | 'atRest'> {
  const state = bench.state();
  const task = state && nextTask(state);
  if (task?.kind !== 'draw') return { net: undefined, gross: undefined, atRest: true };
  const shown = bench.line(task.scale).instrument.shown;
  if (!shown) return { net: undefined, gross: undefined, atRest: false };
  const gross: Mass = mass(Number(shown.number.digits) * 10 ** (6 - shown.number.scale));
  const base = state?.draws[task.id]?.base ?? undefined;
  const net = base && (task.way === 'subtract' ? minus(base, gross) : minus(gross, base));
  return { net, gross, atRest: shown.stable };
}
