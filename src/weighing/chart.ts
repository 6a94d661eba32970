/**
 * The weighing chart: the walk through a whole batch, as the maker lives it.
 *
 * Gather, then each task in turn: put the vessel on, pour until it rests in the band, tip the cup, do the step
 * between, until all is done. Whatever is decided becomes a fact first (`recording`), and the walk goes on from the
 * batch state that follows from it (`choosing`): a restart after a crash takes the same road.
 *
 * It never decides whether a weight is good (accept/), never sees a sample (signal/), never touches disk or screen.
 */
import { and, assign, not, or } from 'xstate';
import { weighingSetup } from './chartSetup.ts';
import { NO_RESCUE } from './findRescue.ts';
import * as say from './happened.ts';
import type { Scene } from './look.ts';
import { jar, summing } from './states/compared.ts';
import { elsewhere } from './states/elsewhere.ts';
import { onUndo } from './states/onUndo.ts';
import { pouring } from './states/pouring.ts';
import { step } from './states/step.ts';
import { tipping } from './states/tipping.ts';
import { NO_STEP_SEEN } from './stepPans.ts';
import type { UndoScene } from './undoing.ts';

export type { WeighingContext, WeighingInput, WeighingTag } from './context.ts';

export const weighingChart = weighingSetup.createMachine({
  id: 'weighing',
  context: ({ input }) => ({
    batch: input.batch,
    pans: input.pans ?? {},
    loadsAtStart: {},
    lookingFor: null,
    pending: [],
    failure: null,
    lostScale: null,
    rescue: null,
    stepSeen: NO_STEP_SEEN,
    undoOpen: false,
    undoCleared: [],
    justUndone: false,
    by: input.by ?? '',
  }),
  on: {
    'pan.*': { actions: 'notePan' },
    'fact.noted': { actions: { type: 'noteFacts', params: ({ event }) => ({ facts: event.facts }) } },
    'undo.over': { actions: assign({ undoOpen: false }) },
  },
  initial: 'choosing',
  states: {
    choosing: {
      description: 'Finds what is to be done next from the batch state alone.',
      always: [
        { guard: 'isEnded', target: 'ended' },
        { guard: not('isGathered'), target: 'gathering' },
        { guard: 'hasZeroShift', target: 'recording', actions: { type: 'decide', params: { of: say.zeroShifted } } },
        { guard: 'isJustUndone', target: 'paused' },
        { guard: or(['isBlind', 'isLostBack']), target: 'blind' },
        { guard: and(['isAllDone', 'isToLookAt']), target: 'lastLook' },
        { guard: 'isAllDone', target: 'recording', actions: { type: 'decide', params: { of: say.finished } } },
        { guard: 'isElsewhere', target: 'elsewhere' },
        { guard: 'isSumStep', target: 'summing' },
        { guard: 'isJarStep', target: 'jar' },
        { guard: 'isStep', target: 'step' },
        { guard: 'isInCup', target: 'tipping' },
        { target: 'placing' },
      ],
    },

    gathering: {
      description: 'The maker gets everything to hand.',
      on: {
        'answer.yes': { target: 'recording', actions: { type: 'decide', params: { of: say.gathered } } },
        'answer.stop': 'paused',
      },
    },

    placing: {
      description: 'The right vessel has to come (back) onto the right pan.',
      entry: 'startLooking',
      always: [
        { guard: 'hasZeroShift', target: 'choosing' },
        { guard: 'isBlind', target: 'blind' },
        {
          description: 'The vessel of what was accepted last is back: it was not right.',
          guard: 'isPutBack',
          target: 'recording',
          actions: { type: 'decide', params: { of: (scene: UndoScene) => say.undone(scene, 'put-back') } },
        },
        { guard: and(['isRight', 'isBegun', not('beginsAnew'), not('isZeroedUnder')]), target: 'pouring' },
        {
          description: 'Its weight has stood for the dwell time, so no lag is left in it; or the pour did not wait.',
          guard: or([and(['isRightAnew', 'hasDwelt']), and(['beganEarly', not('isZeroedUnder'), not('isDoubted')])]),
          target: 'recording',
          actions: { type: 'decide', params: { of: (scene: Scene) => say.placed(scene, false) } },
        },
      ],
      on: {
        'answer.yes': [
          {
            description: 'It is the right vessel although it weighs otherwise than known.',
            guard: and(['isWrong', not('isOther'), not('isBegun'), not('isDoubted')]),
            target: 'recording',
            actions: { type: 'decide', params: { of: (scene: Scene) => say.placed(scene, true) } },
          },
          {
            description:
              'It is the vessel of this draw with far too much in it: held, as if it had been seen to come in.',
            guard: and(['isWrong', not('isOther'), 'isSomething', not('isDoubted')]),
            target: 'recording',
            actions: { type: 'decide', params: { of: say.held } },
          },
        ],
        ...onUndo,
        'answer.stop': 'paused',
      },
    },

    pouring,

    hold: {
      description:
        'Too much, at rest. Nothing goes on until it is taken back, made right by a larger batch, kept for a reason, or given up.',
      tags: 'hold',
      initial: 'open',
      always: [
        {
          guard: 'isBlind',
          target: 'recording',
          actions: ['noteLost', { type: 'decide', params: { of: say.scaleLost } }],
        },
        { guard: 'isInBand', target: 'pouring' },
        { guard: 'isUnder', target: 'pouring' },
        {
          guard: and(['isOver', not('isNoted'), not('isDoubted')]),
          target: 'recording',
          actions: { type: 'decide', params: { of: say.held } },
        },
        { guard: and(['isAway', not('isOver')]), target: 'placing' },
      ],
      on: {
        'answer.keep': {
          guard: and(['isOver', 'mayKeep', not('isDoubted')]),
          target: 'deciding',
          actions: {
            type: 'decide',
            params: ({ event }) => ({
              of: (scene: Scene) =>
                say.weighed(scene, { how: 'key', deviation: { kind: 'over', reason: event.reason } }),
            }),
          },
        },
        'answer.rescue': {
          description: 'The weight itself is accepted after that like any other.',
          guard: 'isOffered',
          target: 'recording',
          actions: {
            type: 'decide',
            params: ({ event }) => ({ of: (scene: Scene) => say.rescued(scene, event.offer) }),
          },
        },
        'answer.give-up': { target: 'givingUp', actions: { type: 'decide', params: { of: say.givenUp } } },
        'answer.stop': 'paused',
      },
      states: {
        open: { always: { guard: 'isRescueWanted', target: 'searching' } },
        searching: {
          description: 'Works out how the batch could grow until this weight is right. All other answers are open.',
          entry: 'askForRescue',
          always: { guard: 'isRescueWanted', target: 'searching', reenter: true },
          invoke: {
            src: 'findRescue',
            input: ({ context }) => ({ batch: context.batch, held: context.rescue?.held ?? null }),
            onDone: {
              target: 'open',
              actions: { type: 'noteRescue', params: ({ event }) => ({ found: event.output }) },
            },
            onError: { target: 'open', actions: { type: 'noteRescue', params: { found: NO_RESCUE } } },
          },
        },
      },
    },

    short: {
      description: 'The lot is empty below the band: find more, keep the short weight for a reason, or give up.',
      tags: 'hold',
      always: [
        {
          guard: 'isBlind',
          target: 'recording',
          actions: ['noteLost', { type: 'decide', params: { of: say.scaleLost } }],
        },
        { guard: not('isUnder'), target: 'pouring' },
      ],
      on: {
        'answer.yes': 'pouring',
        'answer.other-lot': {
          guard: and(['isRight', 'isUnder', 'isOtherLot', not('isDoubted')]),
          target: 'deciding',
          actions: {
            type: 'decide',
            params: ({ event }) => ({ of: (scene: Scene) => say.split(scene, 'lot-ended', event.lot) }),
          },
        },
        'answer.keep': {
          guard: and(['isRight', 'isUnder', 'isSomething', 'mayKeep', not('isDoubted')]),
          target: 'deciding',
          actions: {
            type: 'decide',
            params: ({ event }) => ({
              of: (scene: Scene) =>
                say.weighed(scene, {
                  how: 'key',
                  deviation: { kind: 'under', reason: event.reason },
                  lotEnded: true,
                }),
            }),
          },
        },
        'answer.give-up': { target: 'givingUp', actions: { type: 'decide', params: { of: say.givenUp } } },
        'answer.stop': 'paused',
      },
    },

    tipping,

    givingUp: {
      description: 'Asks once more before what was decided is given up.',
      on: {
        'answer.yes': { target: 'recording', actions: 'noteToEmpty' },
        'answer.stop': 'choosing',
      },
    },

    step,

    summing,

    jar,

    elsewhere,

    lastLook: {
      description:
        'All is done but a look at the empty pan, which tells whether its zero moved under what was last weighed.',
      always: { guard: or(['hasZeroShift', not('isToLookAt')]), target: 'choosing' },
      on: {
        ...onUndo,
        'answer.yes': {
          description: 'It stays unseen, and is told as such.',
          target: 'recording',
          actions: { type: 'decide', params: { of: say.finished } },
        },
        'answer.stop': 'paused',
      },
    },

    blind: {
      description: 'The scale that the draw needs can not be relied on; nothing is accepted.',
      always: [
        {
          guard: 'isLostBack',
          target: 'recording',
          actions: [
            {
              type: 'decide',
              params: ({ context }) => ({ of: (scene: Scene) => say.scaleBack(scene, context.lostScale) }),
            },
            'noteBack',
          ],
        },
        { guard: not('isBlind'), target: 'choosing' },
      ],
      on: { 'answer.stop': 'paused' },
    },

    paused: {
      description: 'The maker said stop. Nothing is accepted until told to go on.',
      on: {
        'answer.yes': { target: 'choosing', actions: 'goOn' },
        'answer.give-up': {
          guard: 'mayGiveUp',
          target: 'givingUp',
          actions: { type: 'decide', params: { of: say.givenUp } },
        },
        'answer.abandon': 'abandoning',
      },
    },

    abandoning: {
      description: 'Asks once more before the batch is ended unfinished.',
      on: {
        'answer.yes': { target: 'recording', actions: { type: 'decide', params: { of: say.abandoned } } },
        'answer.stop': 'paused',
      },
    },

    deciding: {
      description: 'A weight is decided on; where the formula asks for it, a second person looks at it first.',
      always: [{ guard: 'needsWitness', target: 'witnessing' }, { target: 'recording' }],
    },

    witnessing: {
      description: 'A second person confirms the weight before it counts. While they look nothing may move.',
      tags: 'hold',
      always: { guard: not('isAsDecided'), target: 'choosing' },
      on: {
        'answer.witness': {
          guard: 'isAnother',
          target: 'recording',
          actions: { type: 'witnessed', params: ({ event }) => ({ name: event.name }) },
        },
        'answer.stop': 'paused',
      },
    },

    recording: {
      description: 'What was decided is being written; nothing counts before it is on the disk.',
      tags: 'recording',
      invoke: {
        src: 'record',
        input: ({ context }) => ({ batch: context.batch.batch, happened: context.pending }),
        onDone: {
          target: 'choosing',
          actions: [
            { type: 'applyFacts', params: ({ event }) => ({ facts: event.output }) },
            { type: 'openUndo', params: ({ event }) => ({ facts: event.output }) },
          ],
        },
        onError: {
          target: 'logFailed',
          actions: { type: 'noteFailure', params: ({ event }) => ({ error: event.error }) },
        },
      },
    },

    logFailed: {
      description: 'The fact could not be written. The maker mends the cause and tries again.',
      tags: 'hold',
      on: { 'answer.yes': 'recording' },
    },

    ended: { type: 'final' },
  },
});
