/** The vessel of a phase weighed as a whole. */
import { and, not } from 'xstate';
import { weighingSetup } from '../chartSetup.ts';
import * as say from '../happened.ts';
import type { Scene } from '../look.ts';
import { onUndo } from './onUndo.ts';

export const summing = weighingSetup.createStateConfig({
  description: 'The whole vessel has to weigh what its draws add up to; that finds what was skipped or doubled.',
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
          guard: and(['isSumRight', 'hasSumDwelt']),
          target: '#weighing.recording',
          actions: { type: 'decide', params: { of: (scene: Scene) => say.sumChecked(scene) } },
        },
        { guard: and(['isSumOff', 'hasSumDwelt']), target: 'off' },
      ],
      on: {
        'answer.yes': {
          description: 'It can not be weighed as a whole, or need not.',
          target: '#weighing.recording',
          actions: { type: 'decide', params: { of: (scene: Scene) => say.stepDone(scene) } },
        },
      },
    },
    off: {
      description: 'Something is missing in it, or too much.',
      tags: 'hold',
      always: { guard: not('isSumOff'), target: 'waiting' },
      on: {
        'answer.keep': {
          guard: and(['isSumOff', 'hasSumDwelt']),
          target: '#weighing.recording',
          actions: {
            type: 'decide',
            params: ({ event }) => ({ of: (scene: Scene) => say.sumChecked(scene, event.reason) }),
          },
        },
      },
    },
  },
});
