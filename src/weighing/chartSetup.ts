/** What the weighing chart and its states are made of: their context and events, guards, actions, timers and actors. */
import { assign, cancel, enqueueActions, raise, setup } from 'xstate';
import { apply } from '../facts/apply.ts';
import type { Fact, Happened } from '../facts/fact.ts';
import type { Rescue } from '../rescue/model.ts';
import type { Happening } from '../signal/happening.ts';
import type { WeighingContext, WeighingInput, WeighingTag } from './context.ts';
import type { WeighingEvent } from './events.ts';
import { findRescue } from './findRescue.ts';
import { guards } from './guards.ts';
import { withSeen } from './happened.ts';
import { drawNow, stepNow } from './look.ts';
import { factsApplied, failureNoted, lookingFor, panNoted, pansToEmpty } from './memory.ts';
import { recordFacts } from './record.ts';
import { heldNow } from './rescueNow.ts';
import { stepSeenFrom, withoutTaps } from './stepPans.ts';
import { UNDO_MS } from './undoing.ts';

export const weighingSetup = setup({
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
      pending: withSeen(context, fact.of(context)),
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
    /** A write that is under way keeps what it waits for. */
    noteFacts: assign(({ context }, { facts }: { facts: readonly Fact[] }) => ({
      batch: facts.reduce(apply, context.batch),
    })),
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
});
