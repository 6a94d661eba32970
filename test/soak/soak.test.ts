/** The short form of `npm run soak`: whole batches in one process leave nothing behind, and nothing becomes slower. */
import { expect, test } from 'vitest';
import { openLineFront } from '../../src/cli/weigh/lineFront.ts';
import { faultsOf, soak } from './soak.ts';

test('batch after batch, nothing is left over and nothing becomes slower', { timeout: 120_000 }, async () => {
  const report = await soak({
    idleMinutes: [0, 0.6],
    warmUp: 1,
    openFront: (input) =>
      openLineFront(input, {
        json: false,
        input: undefined,
        print: () => {},
        aside: () => {},
        onUnanswerable: () => {},
      }),
  });
  expect(faultsOf(report)).toEqual([]);
  // It was worth looking at.
  expect(report.readings).toBeGreaterThan(20_000);
  expect(report.within.length).toBeGreaterThan(1);
  for (const happened of ['draws', 'undone', 'held', 'pulls'] as const) expect(report[happened]).toBeGreaterThan(2);
});
