/**
 * The weighing chart: the walk through a whole batch, as the maker lives it.
 *
 * Gather, then each task in turn: put the vessel on, pour until it rests in the band, tip the cup, do the step
 * between, until all is done. Whatever is decided becomes a fact first (`recording`), and the walk goes on from the
 * batch state that follows from it (`choosing`): a restart after a crash takes the same road.
 *
 * It never decides whether a weight is good (accept/), never sees a sample (signal/), never touches disk or screen.
 */
import { and, assign, cancel, enqueueActions, not, or, raise, setup } from 'xstate';
import type { Fact, Happened } from '../facts/fact.ts';
import type { Rescue } from '../rescue/model.ts';
import type { Happening } from '../signal/happening.ts';
import type { WeighingContext, WeighingInput, WeighingTag } from './context.ts';
import type { WeighingEvent } from './events.ts';
import { findRescue, NO_RESCUE } from './findRescue.ts';
import { guards } from './guards.ts';
import * as say from './happened.ts';
import { drawNow, type Scene, stepNow } from './look.ts';
import { factsApplied, failureNoted, lookingFor, panNoted, pansToEmpty } from './memory.ts';
import { recordFacts } from './record.ts';
import { heldNow } from './rescueNow.ts';
import { begunBy, NO_STEP_SEEN, stepSeenFrom, withoutTaps } from './stepPans.ts';
import { UNDO_MS, type UndoScene } from './undoing.ts';

export const weighingChart = setup({
  types: {
    context: {} as WeighingContext,
    events: {} as WeighingEvent,
    input: {} as WeighingInput,
    tags: {} as WeighingTag,
  },
  actors: { record: recordFacts, findRescue },
  delays: {
    /** Length of the present step's burst, mixing or rest. */
    burst: ({ context }) => stepNow(context)?.forMs ?? 0,
  },
  guards,
  actions: {
    notePan: assign(({ context, event }) =>
      event.type.startsWith('pan.') ? panNoted(context, event as unknown as Happening) : {},
    ),
    startLooking: assign(({ context }) => lookingFor(context)),
    startStep: assign(({ context }) => ({ stepSeen: stepSeenFrom(context) })),
    forgetTap: assign(({ context }) => ({ pans: withoutTaps(context.pans) })),
    /** Decides what is to be written; followed by `recording`, at once or after the maker has said yes to it. */
    decide: assign(({ context }, fact: { of: (scene: WeighingContext) => readonly Happened[] }) => ({
      pending: fact.of(context),
    })),
    askForRescue: assign(({ context }) => {
      const held = heldNow(context);
      return { rescue: held && { held, found: null } };
    }),
    noteRescue: assign(({ context }, { found }: { found: Rescue }) => ({
      rescue: context.rescue && { ...context.rescue, found },
    })),
    /** What is given up is still in the vessel on the pan, if one stands there. */
    noteToEmpty: assign(({ context }) => ({ pans: pansToEmpty(context) })),
    witnessed: assign(({ context }, { name }: { name: string }) => ({
      pending: context.pending.map((each) => (each.kind === 'weighed' ? { ...each, witness: name } : each)),
    })),
    noteLost: assign(({ context }) => ({ lostScale: drawNow(context)?.scale ?? null })),
    noteBack: assign({ lostScale: null }),
    applyFacts: assign(({ context }, { facts }: { facts: readonly Fact[] }) => factsApplied(context, facts)),
    /** What was just accepted can be taken back for a moment. */
    openUndo: enqueueActions(({ context, enqueue }, { facts }: { facts: readonly Fact[] }) => {
      if (!facts.some(({ seq }) => seq === context.batch.undoable?.seq)) return;
      enqueue.assign({ undoOpen: true, undoCleared: [] });
      enqueue(cancel('undo'));
      enqueue(raise({ type: 'undo.over' }, { id: 'undo', delay: UNDO_MS }));
    }),
    goOn: assign({ justUndone: false }),
    noteFailure: assign(({ context }, { error }: { error: unknown }) => failureNoted(context, error)),
  },
}).createMachine({
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
        { guard: 'isAllDone', target: 'recording', actions: { type: 'decide', params: { of: say.finished } } },
        { guard: 'isSumStep', target: 'summing' },
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
        'answer.undo': {
          guard: 'mayUndo',
          target: '#weighing.recording',
          actions: { type: 'decide', params: { of: (scene: UndoScene) => say.undone(scene, 'key') } },
        },
        'answer.stop': 'paused',
      },
    },

    pouring: {
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
        'answer.undo': {
          guard: 'mayUndo',
          target: '#weighing.recording',
          actions: { type: 'decide', params: { of: (scene: UndoScene) => say.undone(scene, 'key') } },
        },
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
    },

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

    tipping: {
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
        'answer.undo': {
          guard: 'mayUndo',
          target: '#weighing.recording',
          actions: { type: 'decide', params: { of: (scene: UndoScene) => say.undone(scene, 'key') } },
        },
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
    },

    givingUp: {
      description: 'Asks once more before what was decided is given up.',
      on: {
        'answer.yes': { target: 'recording', actions: 'noteToEmpty' },
        'answer.stop': 'choosing',
      },
    },

    step: {
      description:
        'Work between draws: melt, whisk, combine, rinse, mix, rest, press. The pans tell when, or a key does.',
      entry: ['startStep', 'forgetTap'],
      initial: 'ready',
      on: {
        'answer.undo': {
          guard: 'mayUndo',
          target: '#weighing.recording',
          actions: { type: 'decide', params: { of: (scene: UndoScene) => say.undone(scene, 'key') } },
        },
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
    },

    summing: {
      description: 'The whole vessel has to weigh what its draws add up to; that finds what was skipped or doubled.',
      initial: 'waiting',
      on: {
        'answer.undo': {
          guard: 'mayUndo',
          target: '#weighing.recording',
          actions: { type: 'decide', params: { of: (scene: UndoScene) => say.undone(scene, 'key') } },
        },
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
          guard: 'isDraw',
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
