/**
 * What the maker's keys do, whatever they are typed on: the screen, or lines of `--plain`. Holds the little state that
 * belongs to no weighing: which page of answers is open, when was a step's clock started, what was just written down.
 */
import { exactGrams, readMass } from '../../mass/text.ts';
import type { Clock } from '../../signal/clock.ts';
import { isBlind, panNow } from '../../weighing/look.ts';
import type { Station, WeighingSnapshot } from '../../weighing/station.ts';
import { scaleInHand } from '../../weighing/unseenNow.ts';
import type { BenchView } from '../view.ts';
import { benchViewOf } from './bench.ts';
import { choiceOf, choicesFor, hintFor } from './choices.ts';
import type { Others } from './elsewhereWords.ts';
import { scaleName } from './names.ts';
import { type Page, stillOpen } from './pages.ts';

export interface Controls {
  /** A key by its name (`enter`, `x`). @returns whether it meant anything */
  press(key: string): boolean;
  /** What is said of a key that means nothing now; undefined: nothing. */
  hint(key: string): string | undefined;
  /** A typed display value, in grams. @returns a sentence when it is no number */
  typed(text: string): string | undefined;
  /** To be told of every new state of the chart. */
  note(snapshot: WeighingSnapshot): void;
  view(): BenchView;
}

export interface ControlsOptions {
  readonly station: Pick<Station, 'answer' | 'declareEmpty' | 'keyed' | 'returned' | 'snapshot'>;
  readonly clock: Clock;
  /** The maker wants to leave. */
  readonly onLeave: () => void;
  /** Something else than the chart changed the view. */
  readonly onView?: () => void;
  /** How long an accepted weight is told in place of what comes next, milliseconds; default 0. */
  readonly savedMs?: number | undefined;
  /** Who weighs. */
  readonly by?: string | undefined;
  /** Said while everything is looked out, before the batch. */
  readonly notes?: readonly string[] | undefined;
  /** How other benches stand with this batch. */
  readonly others?: (() => Others) | undefined;
  /** A dim line at the bottom. */
  readonly foot?: (() => string) | undefined;
}

export function createControls({
  station,
  clock,
  onLeave,
  onView,
  savedMs = 0,
  by,
  notes,
  others,
  foot,
}: ControlsOptions): Controls {
  let page: Page | undefined;
  let saved: { readonly draw: string } | undefined;
  /** Until something is written: who comes back reads where the batch stands. */
  const { gathered, seq: seqAtStart, ended } = station.snapshot().context.batch;
  const isTakenUp = ({ context: { batch } }: WeighingSnapshot) =>
    gathered && ended === 'open' && batch.seq === seqAtStart;
  /** Why the answer where something went is not in the log; asked about is still the same. */
  let unwritten: string | undefined;
  let lastSeq = station.snapshot().context.batch.seq;
  let stepClock: { readonly key: string; readonly startedAt: number } | undefined;

  /**
   * Just after a weight is on the disk it is told for a moment, so that it is seen from afar. A hold and a lost scale
   * come first, and so does a hand that goes on already: nobody may pour without seeing the live number.
   */
  function noteSaved(snapshot: WeighingSnapshot): void {
    const { context } = snapshot;
    const { lastAccepted } = context.batch;
    if (snapshot.hasTag('hold') || isBlind(context) || panNow(context).state === 'moving') saved = undefined;
    if (lastAccepted === null || lastAccepted.seq <= lastSeq) return;
    lastSeq = lastAccepted.seq;
    if (savedMs <= 0) return;
    const told = { draw: lastAccepted.draw };
    saved = told;
    // Ended by the timer itself, not by the clock: timers may ring a little early, and nobody would look again.
    clock.setTimeout(() => {
      if (saved !== told) return;
      saved = undefined;
      onView?.();
    }, savedMs);
  }

  /** Waits for nothing: where it can't be written, the question stays, with the reason. */
  async function noteReturned(to: 'jar' | 'aside'): Promise<void> {
    try {
      await station.returned(to);
      unwritten = undefined;
    } catch (error) {
      unwritten = error instanceof Error ? error.message : String(error);
    }
    onView?.();
  }

  return {
    press(key) {
      if (key === 'ctrl+c') {
        onLeave();
        return true;
      }
      const does = choiceOf(choicesFor(station.snapshot(), page), key);
      if (does === undefined) return false;
      if ('page' in does) {
        page = does.page;
        onView?.();
      } else if ('leave' in does) onLeave();
      else if ('returned' in does) void noteReturned(does.returned);
      else if ('declareEmpty' in does) station.declareEmpty(does.declareEmpty);
      else {
        page = undefined;
        station.answer(does.answer);
      }
      return true;
    },
    hint: (key) => hintFor(choicesFor(station.snapshot(), page), key),
    typed(text) {
      const { context } = station.snapshot();
      const scale = scaleInHand(context);
      const shown = readMass(text.trim().replace(',', '.').replace(/\s*g$/, ''), 'g');
      if (shown === undefined)
        return 'That is no weight in grams, such as 296.4. Nothing was taken over; type it again.';
      const d = scale === undefined ? undefined : context.batch.plan.scales[scale]?.d;
      if (scale !== undefined && d !== undefined && shown % d !== 0) {
        return `The ${scaleName(scale)} shows steps of ${exactGrams(d)} g: ${text.trim()} can't stand there. Nothing was taken over; type it again.`;
      }
      if (scale !== undefined) station.keyed(scale, shown);
      return undefined;
    },
    note(snapshot) {
      page = stillOpen(snapshot, page);
      const { context } = snapshot;
      if (context.batch.takenOut === null) unwritten = undefined;
      noteSaved(snapshot);
      const key = snapshot.matches({ step: 'running' })
        ? JSON.stringify([context.batch.steps, context.batch.seq])
        : undefined;
      if (key === undefined) stepClock = undefined;
      else if (stepClock?.key !== key) stepClock = { key, startedAt: clock.now() };
    },
    view() {
      const snapshot = station.snapshot();
      const forMs = burstLength(snapshot);
      const takenUp = isTakenUp(snapshot);
      const timer = stepClock && { startedAt: stepClock.startedAt, forMs };
      return benchViewOf(snapshot, {
        page,
        timer,
        by,
        notes,
        others: others?.(),
        foot: foot?.(),
        saved: saved?.draw,
        takenUp,
        unwritten,
      });
    },
  };
}

function burstLength({ context: { batch } }: WeighingSnapshot): number | undefined {
  const begun = batch.plan.tasks.find((task) => task.kind === 'step' && batch.steps[task.id]?.done === false);
  return begun?.kind === 'step' ? (begun.forMs ?? undefined) : undefined;
}
