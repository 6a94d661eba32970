/** The cup is tipped into the vessel, and weighed back. */
import { and, not } from 'xstate';
import { weighingSetup } from '../chartSetup.ts';
import * as say from '../happened.ts';
import type { Scene } from '../look.ts';
import { onUndo } from './onUndo.ts';

export const tipping = weighingSetup.createStateConfig({
  description: 'The cup is emptied into the vessel and comes back to be weighed.',
  initial: 'waiting',
  always: [
    { guard: 'hasZeroShift', target: 'choosing' },
    {
      guard: 'isBlind',
      target: 'recording',
      actions: ['noteLost', { type: 'decide', params: { of: say.scaleLost } }],
    },
  ],
  on: {
    ...onUndo,
    'answer.stop': 'paused',
  },
  states: {
    waiting: {
      always: [
        { guard: 'isTippedWell', target: 'clean' },
        { guard: 'isTippedBack', target: 'clinging' },
      ],
    },
    clean: {
      tags: 'mayAccept',
      always: [
        {
          guard: and(['isTippedWell', 'hasDwelt', not('isDoubted')]),
          target: '#weighing.recording',
          actions: { type: 'decide', params: { of: (scene: Scene) => say.tipped(scene) } },
        },
        { guard: not('isTippedBack'), target: 'waiting' },
        { guard: not('isTippedWell'), target: 'clinging' },
      ],
      on: {
        'answer.yes': {
          guard: and(['isTippedWell', not('isDoubted')]),
          target: '#weighing.recording',
          actions: { type: 'decide', params: { of: (scene: Scene) => say.tipped(scene) } },
        },
      },
    },
    clinging: {
      description: 'So much stayed in the cup that the vessel has too little.',
      tags: 'hold',
      always: [
        { guard: not('isTippedBack'), target: 'waiting' },
        { guard: 'isTippedWell', target: 'clean' },
      ],
      on: {
        'answer.keep': {
          guard: and(['isTippedBack', not('isDoubted')]),
          target: '#weighing.recording',
          actions: {
            type: 'decide',
            params: ({ event }) => ({
              of: (scene: Scene) => say.tipped(scene, { kind: 'residue', reason: event.reason }),
            }),
          },
        },
      },
    },
  },
});
