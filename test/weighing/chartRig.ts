/** The weighing chart on a log and a clock that a test holds in its hands. */
import { createActor, fromPromise, SimulatedClock, type SnapshotFrom } from 'xstate';
import { apply, planned } from '../../src/facts/apply.ts';
import type { BatchState } from '../../src/facts/batchState.ts';
import type { Fact, Happened } from '../../src/facts/fact.ts';
import { type Mass, ZERO } from '../../src/mass/mass.ts';
import type { Plan } from '../../src/plan/model.ts';
import type { Rescue } from '../../src/rescue/model.ts';
import type { Trouble } from '../../src/signal/happening.ts';
import { weighingChart } from '../../src/weighing/chart.ts';
import { type Answer, type PanEvent, panEvent, type WeighingEvent } from '../../src/weighing/events.ts';
import type { RescueAsked } from '../../src/weighing/findRescue.ts';
import type { RecordInput } from '../../src/weighing/record.ts';
import { aPlan, BATCH, BY, g, sealed } from './samplePlan.ts';

export type Snapshot = SnapshotFrom<typeof weighingChart>;

type ScaleId = 'bench' | 'fine';

/** What happens on a pan; loads in grams. */
export const pan = {
  moves: (scale: ScaleId): PanEvent => panEvent({ kind: 'moving', scale, at: 0 }),
  settles: (scale: ScaleId, grams: number, zeroKnown = true): PanEvent =>
    panEvent({ kind: 'settled', scale, at: 0, load: g(grams), gross: g(grams), zeroKnown }),
  dwells: (scale: ScaleId, grams: number, keyed = false, zeroKnown = true): PanEvent =>
    panEvent({ kind: 'dwelt', scale, at: 0, load: g(grams), gross: g(grams), zeroKnown, keyed }),
  /** The same level of a scale that says nothing while it moves. */
  isUnheard: (level: PanEvent): PanEvent => ({ ...level, unheard: true }) as PanEvent,
  empties: (scale: ScaleId, zero: Mass = ZERO): PanEvent => panEvent({ kind: 'emptied', scale, at: 0, zero }),
  /** The empty pan reads so many grams more than before. */
  emptiesBy: (scale: ScaleId, shift: number): PanEvent =>
    panEvent({ kind: 'emptied', scale, at: 0, zero: g(shift), shift: g(shift) }),
  /** Pressed with a finger and let go. */
  taps: (scale: ScaleId, pressed: Mass = g(60)): PanEvent =>
    panEvent({ kind: 'emptied', scale, at: 0, zero: ZERO, pressed }),
  isSilent: (scale: ScaleId, say: string | null = null): PanEvent => panEvent({ kind: 'silent', scale, at: 0, say }),
  isFresh: (scale: ScaleId): PanEvent => panEvent({ kind: 'fresh', scale, at: 0 }),
  isInTrouble: (scale: ScaleId, trouble: Trouble = 'wrong-unit'): PanEvent =>
    panEvent({ kind: 'trouble', scale, at: 0, trouble }),
  isFineAgain: (scale: ScaleId): PanEvent => panEvent({ kind: 'trouble-over', scale, at: 0 }),
};

export const yes: Answer = { type: 'answer.yes' };
export const stop: Answer = { type: 'answer.stop' };
export const giveUp: Answer = { type: 'answer.give-up' };
export const lotEnded: Answer = { type: 'answer.lot-ended' };
export const again: Answer = { type: 'answer.again' };
export const abandon: Answer = { type: 'answer.abandon' };
export const undo: Answer = { type: 'answer.undo' };
export const full: Answer = { type: 'answer.full' };
export const seen = (name = 'Somebody Else'): Answer => ({ type: 'answer.witness', name });
export const otherLot = (lot = 'lot A2.3'): Answer => ({ type: 'answer.other-lot', lot });
export const keep = (reason = 'can not be taken out'): Answer => ({ type: 'answer.keep', reason });

/** A chart's state in one word: `pouring.inBand`. */
export function stateName({ value }: Pick<Snapshot, 'value'>): string {
  if (typeof value === 'string') return value;
  return Object.entries(value)
    .map(([parent, child]) => `${parent}.${String(child)}`)
    .join();
}

export function batchAfter(happened: readonly Happened[], plan: Plan = aPlan()): BatchState {
  return sealed(happened).reduce(apply, planned(BATCH, plan));
}

export interface Rig {
  /** Sends what happens, one by one; after each the log may write. */
  tell(...events: readonly WeighingEvent[]): Promise<void>;
  /** From now on the log fails with this sentence; undefined: it works again. */
  failWith(sentence: string | undefined): void;
  /** Lets the step's time pass. */
  wait(ms: number): void;
  /** What was written since the start. */
  readonly written: Fact[];
  readonly state: string;
  readonly snapshot: Snapshot;
}

/** Works out what can be done about what is held; without it nothing is. */
export type FindRescue = (asked: RescueAsked) => Promise<Rescue>;

/** A chart that takes up a batch after these facts. */
export async function startChart(happened: readonly Happened[], plan: Plan = aPlan(), find?: FindRescue): Promise<Rig> {
  const clock = new SimulatedClock();
  const written: Fact[] = [];
  let failure: string | undefined;
  const batch = batchAfter(happened, plan);
  const record = fromPromise<readonly Fact[], RecordInput>(async ({ input }) => {
    if (failure !== undefined) throw new Error(failure);
    const facts = sealed(input.happened, happened.length + written.length);
    written.push(...facts);
    return facts;
  });
  const rescuing = find && { findRescue: fromPromise<Rescue, RescueAsked>(({ input }) => find(input)) };
  const chart = weighingChart.provide({ actors: { record, ...rescuing } });
  const actor = createActor(chart, { input: { batch, by: BY }, clock });
  const settle = async () => {
    // A write resolves, the chart goes on, and may write again.
    for (let turns = 0; turns < 4; turns++) await new Promise((resolve) => setImmediate(resolve));
  };
  actor.start();
  await settle();
  return {
    async tell(...events) {
      for (const event of events) {
        actor.send(event);
        await settle();
      }
    },
    failWith(sentence) {
      failure = sentence;
    },
    wait: (ms) => clock.increment(ms),
    written,
    get state() {
      return stateName(actor.getSnapshot());
    },
    get snapshot() {
      return actor.getSnapshot();
    },
  };
}
