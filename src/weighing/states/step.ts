/** Work between draws, told by what stands on the pans or by a key. */
import { and, not } from 'xstate';
import { weighingSetup } from '../chartSetup.ts';
import * as say from '../happened.ts';
import type { Scene } from '../look.ts';
import { begunBy } from '../stepPans.ts';
import { onUndo } from './onUndo.ts';

export const step = weighingSetup.createStateConfig({
  description: 'Work between draws: melt, whisk, combine, rinse, mix, rest, press. The pans tell when, or a key does.',
  entry: ['startStep', 'forgetTap'],
  initial: 'ready',
  on: {
    ...onUndo,
    'answer.stop': 'paused',
  },
  states: {
    ready: {
      always: [
        { guard: 'hasZeroShift', target: '#weighing.choosing' },
        { guard: and(['isBegunStep', 'isTimed']), target: 'running' },
        {
          description: 'The vessel was lifted off, or is in hand: the clock starts.',
          guard: and(['isTimed', 'isInHand']),
          target: '#weighing.recording',
          actions: {
            type: 'decide',
            params: { of: (scene: Scene) => say.stepBegun(scene, begunBy(scene)) },
          },
        },
        {
          description: 'Its vessel, or the next one, was put on.',
          guard: and([not('isTimed'), 'isBackDwelt']),
          target: '#weighing.recording',
          actions: { type: 'decide', params: { of: (scene: Scene) => say.stepDone(scene, 'put-on') } },
        },
        {
          guard: and([not('isTimed'), 'isTapped', not('isMovingContent')]),
          target: '#weighing.recording',
          actions: { type: 'decide', params: { of: (scene: Scene) => say.stepDone(scene, 'tapped') } },
        },
      ],
      on: {
        'answer.yes': [
          {
            guard: 'isTimed',
            target: '#weighing.recording',
            actions: { type: 'decide', params: { of: (scene: Scene) => say.stepBegun(scene) } },
          },
          {
            target: '#weighing.recording',
            actions: { type: 'decide', params: { of: (scene: Scene) => say.stepDone(scene) } },
          },
        ],
      },
    },
    running: {
      after: { burst: 'rung' },
      on: { 'answer.yes': 'rung' },
    },
    rung: {
      entry: 'forgetTap',
      always: [
        {
          guard: 'isBackDwelt',
          target: '#weighing.recording',
          actions: { type: 'decide', params: { of: (scene: Scene) => say.stepDone(scene, 'put-on') } },
        },
        {
          description: 'A tap on the empty pan: once more, where it is done in bursts.',
          guard: and(['isTapped', 'isRepeated', 'mayRepeat']),
          target: '#weighing.recording',
          actions: { type: 'decide', params: { of: (scene: Scene) => say.stepBegun(scene, 'tapped') } },
        },
        {
          guard: 'isTapped',
          target: '#weighing.recording',
          actions: { type: 'decide', params: { of: (scene: Scene) => say.stepDone(scene, 'tapped') } },
        },
      ],
      on: {
        'answer.yes': {
          target: '#weighing.recording',
          actions: { type: 'decide', params: { of: (scene: Scene) => say.stepDone(scene) } },
        },
        'answer.again': {
          guard: 'mayRepeat',
          target: '#weighing.recording',
          actions: { type: 'decide', params: { of: (scene: Scene) => say.stepBegun(scene) } },
        },
      },
    },
  },
});
