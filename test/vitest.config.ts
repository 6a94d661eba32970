import { defineConfig } from 'vitest/config';
import { LongestFirst } from './longestFirst.ts';

/** Two cores are the least: the longest journey mostly waits, and so do all journeys, which come last. */
const WORKERS = 4;

/** They change what all files of a process share (modules, environment), or measure the process itself. */
const APART = [
  'test/cli/complete.test.ts',
  'test/cli/folderOption.test.ts',
  'test/link/hidLibrary.test.ts',
  'test/records/shared/sharedHistory.test.ts',
  'test/records/stamp.test.ts',
  'test/soak/soak.test.ts',
];

export default defineConfig({
  test: {
    root: new URL('..', import.meta.url).pathname,
    sequence: { shuffle: true, sequencer: LongestFirst },
    setupFiles: ['test/sameEachTime.ts'],
    testTimeout: 60_000,
    maxWorkers: WORKERS,
    // Colours are judged by cells and codes, wherever the tests' own output goes.
    env: { FORCE_COLOR: '3' },
    projects: [
      {
        extends: true,
        test: {
          name: 'parts',
          include: ['test/**/*.test.{ts,tsx}'],
          exclude: ['test/journeys/**', ...APART],
          // Loading the libraries anew for each file took half of all computing; what a file leaves behind is undone here.
          isolate: false,
          restoreMocks: true,
          maxWorkers: WORKERS,
        },
      },
      {
        // Each in a process of its own.
        extends: true,
        test: { name: 'apart', include: APART, maxWorkers: WORKERS },
      },
      {
        // Real programs in real terminals, in real time.
        extends: true,
        test: {
          name: 'journeys',
          include: ['test/journeys/*.test.ts'],
          globalSetup: 'test/journeys/builtProgram.ts',
          maxWorkers: WORKERS,
          // The health cases wait most of their time.
          maxConcurrency: 25,
          testTimeout: 120_000,
        },
      },
    ],
  },
});
