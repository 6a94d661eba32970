/** Portioning at the bench: one scale's source and signal, the reducer, and the log. Nothing counts before it is written. */
import type { BarHappened } from '../../facts/barFacts.ts';
import { barsOf } from '../../facts/bars.ts';
import type { Fact, FactLog } from '../../facts/fact.ts';
import { minus } from '../../mass/mass.ts';
import type { Answer, Portion, PortionInput } from '../../portion/model.ts';
import { stepPortion } from '../../portion/step.ts';
import type { PortionNumbers } from '../../screen/fill/portionLive.ts';
import type { Clock } from '../../signal/clock.ts';
import { stepWatched, UNWATCHED } from '../../signal/health.ts';
import type { SignalInput } from '../../signal/signal.ts';
import { isCurrent } from '../../signal/unread.ts';
import type { StationScale } from '../../weighing/station.ts';

export interface PortionBenchOptions {
  readonly scale: StationScale;
  readonly portion: Portion;
  readonly batch: string;
  readonly by: string;
  /** All facts of the batch so far. */
  readonly facts: readonly Fact[];
  readonly log: FactLog;
  readonly clock: Clock;
  readonly onFacts?: (facts: readonly Fact[]) => void;
  readonly onChange?: () => void;
  readonly onLive?: () => void;
}

export interface PortionBench {
  start(): void;
  stop(): Promise<void>;
  answer(answer: Answer): void;
  /** The maker says that nothing is on the pan. */
  declareEmpty(): void;
  /** Facts could not be written: the sentence; null when all are. */
  failure(): string | null;
  /** Tries once more to write them. */
  retry(): void;
  state(): Portion;
  numbers(): PortionNumbers;
}

const TICK_MS = 100;

export function createPortionBench(options: PortionBenchOptions): PortionBench {
  const { scale, log, batch, by, clock } = options;
  let portion = options.portion;
  let facts = options.facts;
  let watched = UNWATCHED;
  let refused = 0;
  let timer: unknown;
  let running = false;
  let failure: string | null = null;
  let isWriting = false;
  const toWrite: BarHappened[][] = [];

  function step(input: PortionInput): void {
    const stepped = stepPortion(portion, input);
    const changed = stepped.state !== portion;
    portion = stepped.state;
    if (stepped.say.length > 0) {
      toWrite.push([...stepped.say]);
      void write();
    }
    if (changed) options.onChange?.();
  }

  /** One after the other; what can't be written stays first, and is tried again by the maker. */
  async function write(): Promise<void> {
    if (isWriting || failure !== null) return;
    isWriting = true;
    try {
      for (let next = toWrite[0]; next !== undefined; next = toWrite[0]) {
        const written = await log.append(batch, by, next);
        toWrite.shift();
        facts = [...facts, ...written];
        options.onFacts?.(written);
        const bars = barsOf(facts);
        if (bars) step({ kind: 'written', bars, count: next.length });
      }
    } catch (error) {
      failure = error instanceof Error ? error.message : String(error);
      options.onChange?.();
    } finally {
      isWriting = false;
    }
  }

  function feed(input: SignalInput): void {
    if (!running) return;
    const stepped = stepWatched(watched, input, scale.signal);
    watched = stepped.state;
    const { lastGross, zero } = watched.signal;
    // Before what it means: a load that is off is noticed although the pan has not come to rest.
    if (input.kind === 'reading' && lastGross !== undefined && isFresh())
      step({ kind: 'live', load: minus(lastGross, zero) });
    for (const happening of stepped.happenings) step({ kind: 'happening', happening });
    if (input.kind !== 'tick' || stepped.happenings.length > 0) options.onLive?.();
  }

  function tick(): void {
    if (!running) return;
    feed({ kind: 'tick', at: clock.now() });
    timer = clock.setTimeout(tick, TICK_MS);
  }

  function isFresh(): boolean {
    const { lastGross, silent, trouble, unread } = watched.signal;
    return lastGross !== undefined && !silent && trouble === undefined && isCurrent(unread, scale.signal);
  }

  return {
    start() {
      running = true;
      scale.source?.start((event) => {
        if (event.kind === 'reading') feed({ kind: 'reading', reading: event.reading });
        else if (event.kind === 'condition') feed({ kind: 'condition', condition: event.condition, at: event.at });
        else if (event.kind === 'refused') {
          refused += 1;
          feed({ kind: 'refused', at: event.at });
        } else if (event.kind === 'link' && event.state !== 'opening' && event.state !== 'open') {
          feed({ kind: 'lost', at: event.at, say: event.say ?? null });
        }
      });
      tick();
    },
    async stop() {
      running = false;
      clock.clearTimeout(timer);
      await scale.source?.stop();
    },
    answer: (answer) => step({ kind: 'answer', answer }),
    declareEmpty: () => feed({ kind: 'declared-empty', at: clock.now() }),
    failure: () => failure,
    retry() {
      failure = null;
      void write();
    },
    state: () => portion,
    numbers() {
      const { lastGross, zero, level, trouble } = watched.signal;
      return {
        gross: lastGross,
        load: lastGross === undefined ? undefined : minus(lastGross, zero),
        fresh: isFresh(),
        settled: level !== undefined,
        trouble: trouble !== undefined,
        refused,
      };
    },
  };
}
