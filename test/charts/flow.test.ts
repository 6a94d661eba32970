import fc from 'fast-check';
import { expect, test } from 'vitest';
import { type FlowPart, flowOf, GAINED, LOST, largest, sum } from '../../src/charts/flow.ts';

const part = (from: number) =>
  fc.record({ name: fc.string(), value: fc.integer({ min: from, max: 1e12 }) }) satisfies fc.Arbitrary<FlowPart>;
const parts = (from: number) => fc.array(part(from), { maxLength: 5 });
const given = fc.record({
  name: fc.string(),
  sources: parts(0),
  off: parts(-1e9),
  stages: fc.array(fc.record({ name: fc.string(), total: fc.integer({ min: 0, max: 1e12 }), off: parts(-1e9) }), {
    maxLength: 3,
  }),
  ends: fc.option(fc.record({ name: fc.string(), parts: parts(0) })),
});

test('as much leaves each stage as came in, whatever the figures say', () => {
  fc.assert(
    fc.property(given, (of) => {
      const { sources, steps, ends } = flowOf(of);
      expect(sum(sources)).toBe(steps[0]?.total);
      for (const [index, step] of steps.entries()) {
        const before = steps[index - 1];
        if (before) expect(before.total - sum(before.off) + sum(step.joins)).toBe(step.total);
      }
      if (ends.length > 0) expect(sum(ends)).toBe(steps.at(-1)?.total);
      // What is told of the stages is never changed.
      expect(steps.slice(1, 1 + of.stages.length).map(({ total }) => total)).toEqual(
        of.stages.map(({ total }) => total),
      );
    }),
  );
});

test('what the figures do not account for is a part of its own, both ways', () => {
  const { steps } = flowOf({
    name: 'lots',
    sources: [{ name: 'a', value: 100 }],
    off: [{ name: 'waste', value: 3 }],
    stages: [{ name: 'bowl', total: 95, off: [{ name: 'stuck', value: -1 }] }],
    ends: { name: 'after', parts: [{ name: 'bars', value: 98 }] },
  });
  expect(steps).toEqual([
    {
      name: 'lots',
      total: 100,
      joins: [],
      off: [
        { name: 'waste', value: 3 },
        { name: LOST, value: 2, difference: 'lost' },
      ],
    },
    { name: 'bowl', total: 95, joins: [], off: [] },
    {
      name: 'after',
      total: 98,
      off: [],
      joins: [
        { name: 'stuck', value: 1 },
        { name: GAINED, value: 2, difference: 'gained' },
      ],
    },
  ]);
});

test('the smallest parts are put together, and none is lost', () => {
  fc.assert(
    fc.property(parts(0), fc.integer({ min: 1, max: 4 }), (all, most) => {
      const few = largest(all, most, (count) => `${count} others`);
      expect(few.length).toBe(Math.min(all.length, most));
      expect(sum(few)).toBe(sum(all));
    }),
  );
});
