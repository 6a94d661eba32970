/** Double entry: the lot's jar weighed before and after a draw from it. */
import { and, not } from 'xstate';
import { weighingSetup } from '../chartSetup.ts';
import * as say from '../happened.ts';
import type { Scene } from '../look.ts';
import { onUndo } from './onUndo.ts';

export const jar = weighingSetup.createStateConfig({
  description: 'What left the jar must be what came in.',
  entry: 'startStep',
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
          guard: and(['isJarRight', 'hasJarDwelt']),
          target: '#weighing.recording',
          actions: { type: 'decide', params: { of: (scene: Scene) => say.jarWeighed(scene) } },
        },
        { guard: and(['isJarOff', 'hasJarDwelt']), target: 'off' },
      ],
      on: {
        'answer.yes': {
          description: 'It can not be weighed, or need not.',
          target: '#weighing.recording',
          actions: { type: 'decide', params: { of: (scene: Scene) => say.stepDone(scene) } },
        },
      },
    },
    off: {
      description: 'Jar and draw disagree.',
      tags: 'hold',
      always: { guard: not('isJarOff'), target: 'waiting' },
      on: {
        'answer.keep': {
          guard: and(['isJarOff', 'hasJarDwelt']),
          target: '#weighing.recording',
          actions: {
            type: 'decide',
            params: ({ event }) => ({ of: (scene: Scene) => say.jarWeighed(scene, event.reason) }),
          },
        },
      },
    },
  },
});
