/** One scale looked at alone: its source and its signal, and what the maker types, as one queue of news. */
import type { Mass } from '../../mass/mass.ts';
import type { Clock } from '../../signal/clock.ts';
import type { Happening } from '../../signal/happening.ts';
import { stepWatched, UNWATCHED } from '../../signal/health.ts';
import type { SignalInput, SignalState } from '../../signal/signal.ts';
import type { StationScale } from '../../weighing/station.ts';

export type PanNews = Happening | { readonly kind: 'typed'; readonly text: string } | { readonly kind: 'input-ended' };

export interface PanWatch {
  /** The next thing that happens, in order; what came while nobody asked is kept. */
  next(): Promise<PanNews>;
  /** Drops what has happened on the pan and was not asked for; typed lines are kept. */
  forget(): void;
  /** What is known of the pan now. */
  state(): SignalState;
  /** A line that the maker typed; undefined: no more will come. */
  hear(text: string | undefined): void;
  /** What the maker reads on a scale without a port. */
  keyed(gross: Mass): void;
  /** The maker says that nothing is on the pan. */
  declareEmpty(): void;
  stop(): Promise<void>;
}

/** The signal's tick, milliseconds. */
const TICK_MS = 100;

/** Starts to listen. */
export function watchPan({ signal, source }: StationScale, clock: Clock): PanWatch {
  let watched = UNWATCHED;
  let waiting: ((news: PanNews) => void) | undefined;
  let timer: unknown;
  const queue: PanNews[] = [];

  const tell = (news: PanNews): void => {
    const listener = waiting;
    waiting = undefined;
    if (listener) listener(news);
    else queue.push(news);
  };
  const feed = (input: SignalInput): void => {
    const stepped = stepWatched(watched, input, signal);
    watched = stepped.state;
    for (const happening of stepped.happenings) tell(happening);
  };
  const tick = (): void => {
    feed({ kind: 'tick', at: clock.now() });
    timer = clock.setTimeout(tick, TICK_MS);
  };

  source?.start((event) => {
    if (event.kind === 'reading') feed({ kind: 'reading', reading: event.reading });
    else if (event.kind === 'condition') feed({ kind: 'condition', condition: event.condition, at: event.at });
    else if (event.kind === 'link' && event.state !== 'opening' && event.state !== 'open') {
      feed({ kind: 'lost', at: event.at, say: event.say ?? null });
    }
  });
  tick();

  return {
    next() {
      const news = queue.shift();
      if (news) return Promise.resolve(news);
      return new Promise((resolve) => {
        waiting = resolve;
      });
    },
    forget() {
      const typed = queue.filter(({ kind }) => kind === 'typed' || kind === 'input-ended');
      queue.splice(0, queue.length, ...typed);
    },
    state: () => watched.signal,
    hear: (text) => tell(text === undefined ? { kind: 'input-ended' } : { kind: 'typed', text }),
    keyed: (gross) => feed({ kind: 'keyed', gross, at: clock.now() }),
    declareEmpty: () => feed({ kind: 'declared-empty', at: clock.now() }),
    async stop() {
      clock.clearTimeout(timer);
      await source?.stop();
    },
  };
}
