/** Something weighed once more to compare: a phase's vessel with the sum of its draws, a jar with what it gave. */
import { and, not } from 'xstate';
import type { Happened } from '../../facts/fact.ts';
import { weighingSetup } from '../chartSetup.ts';
import * as say from '../happened.ts';
import type { Scene } from '../look.ts';
import { onUndo } from './onUndo.ts';

interface Comparing {
  /** What of `isSumRight`, `isSumOff`, `hasSumDwelt` is in the middle. */
  readonly of: 'Sum' | 'Jar';
  readonly description: string;
  /** Of going on without it. */
  readonly without: string;
  /** Of the two that disagree. */
  readonly disagree: string;
  /** @param reason why it is kept as it is, although the two disagree */
  readonly checked: (scene: Scene, reason?: string) => readonly Happened[];
  /** Where it matters how the pans stood when it came up. */
  readonly entry?: 'startStep';
}

const comparing = ({ of, description, without, disagree, checked, entry }: Comparing) =>
  weighingSetup.createStateConfig({
    description,
    ...(entry && { entry }),
    initial: 'waiting',
    on: {
      ...onUndo,
      'answer.stop': 'paused',
    },
    states: {
      waiting: {
        always: [
          { guard: 'hasZeroShift', target: '#weighing.choosing' },
          {
            guard: and([`is${of}Right`, `has${of}Dwelt`]),
            target: '#weighing.recording',
            actions: { type: 'decide', params: { of: (scene: Scene) => checked(scene) } },
          },
          { guard: and([`is${of}Off`, `has${of}Dwelt`]), target: 'off' },
        ],
        on: {
          'answer.yes': {
            description: without,
            target: '#weighing.recording',
            actions: { type: 'decide', params: { of: (scene: Scene) => say.stepDone(scene) } },
          },
        },
      },
      off: {
        description: disagree,
        tags: 'hold',
        always: { guard: not(`is${of}Off`), target: 'waiting' },
        on: {
          'answer.keep': {
            guard: and([`is${of}Off`, `has${of}Dwelt`]),
            target: '#weighing.recording',
            actions: {
              type: 'decide',
              params: ({ event }) => ({ of: (scene: Scene) => checked(scene, event.reason) }),
            },
          },
        },
      },
    },
  });

export const summing = comparing({
  of: 'Sum',
  description: 'The whole vessel has to weigh what its draws add up to; that finds what was skipped or doubled.',
  without: 'It can not be weighed as a whole, or need not.',
  disagree: 'Something is missing in it, or too much.',
  checked: say.sumChecked,
});

export const jar = comparing({
  of: 'Jar',
  description: 'Double entry: what left the jar, weighed before and after a draw from it, must be what came in.',
  without: 'It can not be weighed, or need not.',
  disagree: 'Jar and draw disagree.',
  checked: say.jarWeighed,
  entry: 'startStep',
});
