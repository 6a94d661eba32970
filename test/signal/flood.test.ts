/** A line flooded with good readings, as a broken box on the network may send: bounded, never at rest, and no crash. */
import { expect, test } from 'vitest';
import { NO_AFTER_RUN } from '../../src/signal/afterRun.ts';
import { NO_CUE, stepCue } from '../../src/signal/cue.ts';
import { stepWatched, UNWATCHED } from '../../src/signal/health.ts';
import { MOST_SAMPLES } from '../../src/signal/settled.ts';
import { g } from './told.ts';

const config = {
  scale: 'bench',
  d: g(0.1),
  repeatability: g(0.05),
  rhythm: 'continuous',
  linesPerSecond: 10,
  unit: 'g',
  unitIsSent: true,
  dwellMs: 1500,
} as const;

const READINGS = MOST_SAMPLES + 500;

test('all in the same instant: only the latest are kept, and nothing comes to rest', () => {
  let state = UNWATCHED;
  for (let sent = 0; sent < READINGS; sent++) {
    const reading = { mass: g(100), unit: 'g', stable: true, at: 0, raw: '' } as const;
    const next = stepWatched(state, { kind: 'reading', reading }, config);
    expect(next.happenings).toEqual([]);
    state = next.state;
  }
  expect(state.signal.window).toHaveLength(MOST_SAMPLES);
  expect(state.health.samples).toHaveLength(MOST_SAMPLES);
});

test('a pour told in so many readings keeps its cue and its flow', () => {
  const aim = { low: g(98), target: g(100), high: g(102), d: config.d };
  const habit = { lagMs: 300, afterRun: NO_AFTER_RUN };
  let state = NO_CUE;
  for (let sent = 0; sent < READINGS; sent++) {
    // Half a second of 20 g/s.
    const at = (500 * sent) / READINGS;
    state = stepCue(state, { at, net: g((20 * at) / 1000), resting: false }, aim, habit);
  }
  expect(state.window).toHaveLength(MOST_SAMPLES);
  expect(state.landing, 'it flows').toBeGreaterThan(g(10));
});
