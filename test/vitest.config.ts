import { defineConfig } from 'vitest/config';
import { LongestFirst } from './longestFirst.ts';

export default defineConfig({
  test: {
    root: new URL('..', import.meta.url).pathname,
    sequence: { shuffle: true, sequencer: LongestFirst },
    setupFiles: ['test/sameEachTime.ts'],
    testTimeout: 60_000,
    maxWorkers: 4,
    // Colours are judged by cells and codes, wherever the tests' own output goes.
    env: { FORCE_COLOR: '3' },
    projects: [
      {
        extends: true,
        test: {
          name: 'parts',
          include: ['test/**/*.test.{ts,tsx}'],
          exclude: ['test/journeys/**'],
          maxWorkers: 2,
        },
      },
      {
        // Real programs in real terminals, in real time: after the others, and never many at once. They mostly wait.
        extends: true,
        test: {
          name: 'journeys',
          include: ['test/journeys/*.test.ts'],
          globalSetup: 'test/journeys/builtProgram.ts',
          sequence: { groupOrder: 1 },
          maxWorkers: 4,
          // The health cases wait most of their time.
          maxConcurrency: 25,
          testTimeout: 120_000,
        },
      },
    ],
  },
});
