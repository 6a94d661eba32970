import { defineConfig } from 'vitest/config';
import { LONGEST, LongestFirst } from './longestFirst.ts';

/** One of them waits with the longest journey, which leaves two for the parts: they compute, and two cores are the least. */
const PARTS_WORKERS = 3;

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
    maxWorkers: 4,
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
          maxWorkers: PARTS_WORKERS,
        },
      },
      {
        // Each in a process of its own.
        extends: true,
        test: {
          name: 'apart',
          include: APART,
          maxWorkers: PARTS_WORKERS,
        },
      },
      {
        // The longest journey mostly waits: it begins with the parts, or all would wait for it in the end.
        extends: true,
        test: {
          name: 'whole-batch',
          include: [LONGEST],
          globalSetup: 'test/journeys/builtProgram.ts',
          maxWorkers: PARTS_WORKERS,
          testTimeout: 120_000,
        },
      },
      {
        // Real programs in real terminals, in real time: after the others, and never many at once. They mostly wait.
        extends: true,
        test: {
          name: 'journeys',
          include: ['test/journeys/*.test.ts'],
          exclude: [LONGEST],
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
