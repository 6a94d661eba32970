import fc from 'fast-check';
import { expect, it } from 'vitest';
import { nextTick, printTime, stepTime } from '../../src/screen/stepTime.ts';

it.each([
  [0, '0:00'],
  [999, '0:00'],
  [59_999, '0:59'],
  [60_000, '1:00'],
  [4_500_000, '75:00'],
])('%i ms are %s', (ms, text) => {
  expect(printTime(ms)).toBe(text);
});

it.each([
  ['begins with the whole time', 30_000, 1000, '0:30', 'left', false],
  ['shows a second until it is over', 30_000, 1001, '0:30', 'left', false],
  ['counts down', 30_000, 2000, '0:29', 'left', false],
  ['shows the last second', 30_000, 30_999, '0:01', 'left', false],
  ['is over at its end', 30_000, 31_000, '0:00', 'past the time', true],
  ['counts on', 30_000, 33_500, '0:02', 'past the time', true],
  ['counts up without a set time', undefined, 3500, '0:02', 'so far', false],
  ['is not negative when the clock was read before it began', 30_000, 500, '0:30', 'left', false],
])('a step that began at 1 s %s', (_, forMs, now, text, caption, over) => {
  expect(stepTime({ startedAt: 1000, forMs }, now)).toEqual({ text, caption, over });
});

it('changes its text at the next tick, and not before', () => {
  fc.assert(
    fc.property(fc.nat(100_000), fc.option(fc.integer({ min: 1, max: 90_000 }), { nil: undefined }), (now, forMs) => {
      const timer = { startedAt: 0, forMs };
      const tick = nextTick(timer, now);
      expect(tick).toBeGreaterThanOrEqual(1);
      expect(tick).toBeLessThanOrEqual(1000);
      const at = (ms: number) => JSON.stringify(stepTime(timer, ms));
      expect(at(now + tick)).not.toBe(at(now));
      expect(at(now + tick - 1)).toBe(at(now));
    }),
  );
});
