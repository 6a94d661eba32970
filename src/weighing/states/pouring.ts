/** The draw itself: into the vessel or cup, or out of the jar, until it rests in its band. */
import { and, not } from 'xstate';
import { weighingSetup } from '../chartSetup.ts';
import * as say from '../happened.ts';
import type { Scene } from '../look.ts';
import { onUndo } from './onUndo.ts';

export const pouring = weighingSetup.createStateConfig({
  description: 'The draw itself: into the vessel or cup, or out of the jar.',
  initial: 'moving',
  always: [
    {
      guard: 'isBlind',
      target: 'recording',
      actions: ['noteLost', { type: 'decide', params: { of: say.scaleLost } }],
    },
    { guard: and(['isOver', 'isNoted']), target: 'hold' },
    {
      guard: and(['isOver', 'isRight', not('isDoubted')]),
      target: 'recording',
      actions: { type: 'decide', params: { of: say.held } },
    },
    { guard: 'isAway', target: 'placing' },
  ],
  on: {
    ...onUndo,
    'answer.stop': 'paused',
  },
  states: {
    moving: {
      always: [
        { guard: 'isUnder', target: 'under' },
        { guard: 'isInBand', target: 'inBand' },
      ],
    },
    under: {
      always: [
        { guard: 'isMoving', target: 'moving' },
        { guard: 'isInBand', target: 'inBand' },
      ],
      on: {
        'answer.lot-ended': [
          {
            guard: and(['isUnder', 'hasLaterPart', not('isDoubted')]),
            target: '#weighing.deciding',
            actions: {
              type: 'decide',
              params: { of: (scene: Scene) => say.weighed(scene, { how: 'key', lotEnded: true }) },
            },
          },
          { guard: and(['isUnder', not('isDoubted')]), target: '#weighing.short' },
        ],
        'answer.full': {
          description: 'No more fits: the rest goes into a second vessel, or into the cup again.',
          guard: and(['isUnder', 'isPouredIn', not('isDoubted')]),
          target: '#weighing.deciding',
          actions: { type: 'decide', params: { of: (scene: Scene) => say.split(scene, 'full') } },
        },
      },
    },
    inBand: {
      tags: 'mayAccept',
      always: [
        {
          guard: and(['isInBand', 'hasDwelt', not('isDoubted'), not('isUnheard')]),
          target: '#weighing.deciding',
          actions: { type: 'decide', params: { of: (scene: Scene) => say.weighed(scene, { how: 'dwell' }) } },
        },
        { guard: 'isMoving', target: 'moving' },
        { guard: 'isUnder', target: 'under' },
      ],
      on: {
        'answer.yes': {
          guard: and(['isInBand', not('isDoubted')]),
          target: '#weighing.deciding',
          actions: { type: 'decide', params: { of: (scene: Scene) => say.weighed(scene, { how: 'key' }) } },
        },
      },
    },
  },
});
