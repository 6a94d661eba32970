/** Which phases get a sum check. */
import { expect, it } from 'vitest';
import { demo, demoFormula, planOf } from './fixtures.ts';

const ids = (formula = demoFormula) => planOf(demo, formula).tasks.map(({ id }) => id);

it('every phase of the demo, right after its last draw', () => {
  const order = ids();
  expect(order.filter((id) => id.endsWith('/sum'))).toEqual(['A/sum', 'B/sum', 'C/sum', 'D/sum', 'E/sum']);
  expect(order.indexOf('A/sum')).toBe(order.indexOf('A5') + 1);
  expect(order.indexOf('E/sum')).toBe(order.indexOf('E4') + 1);
});

it('not where the formula says for itself when', () => {
  const [first, ...others] = demoFormula.phases;
  if (!first) throw new Error('the demo formula has phases');
  const unset = { vessel: undefined, into: undefined, forMs: undefined, times: undefined, until: undefined };
  const own = { kind: 'step', step: 'sum', say: 'Weigh the jug.', cautions: [], ...unset } as const;
  const order = ids({ ...demoFormula, phases: [{ ...first, work: [...first.work, own] }, ...others] });
  expect(order).not.toContain('A/sum');
  expect(order).toContain('A/2');
});

it('not for a single draw: there is nothing to add up', () => {
  const only = demoFormula.phases.map((phase) =>
    phase.id === 'C' ? { ...phase, work: [{ ...firstDrawOf('C'), share: sharesOf('C') }] } : phase,
  );
  expect(ids({ ...demoFormula, phases: only })).not.toContain('C/sum');
});

function drawsOfPhase(id: string) {
  return (demoFormula.phases.find((phase) => phase.id === id)?.work ?? []).filter((item) => item.kind === 'draw');
}
function firstDrawOf(id: string) {
  const [first] = drawsOfPhase(id);
  if (!first) throw new Error(`phase ${id} has draws`);
  return first;
}
function sharesOf(id: string): number {
  return drawsOfPhase(id).reduce((sum, { share }) => sum + share, 0);
}
