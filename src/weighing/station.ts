/**
 * The station: joins the scales' sources, one signal per scale, the weighing chart and the batch log.
 *
 * Samples stop here. Each reading steps its scale's signal; rare happenings go on to the chart; the latest numbers are
 * kept for the screen, which asks for them when it draws.
 */
import { createActor, fromPromise, type SnapshotFrom } from 'xstate';
import { netOf } from '../accept/standing.ts';
import type { BatchState } from '../facts/batchState.ts';
import type { Fact, FactLog, Happened } from '../facts/fact.ts';
import type { BroughtIn } from '../facts/handOverFacts.ts';
import { type Mass, minus } from '../mass/mass.ts';
import type { Rescue } from '../rescue/model.ts';
import type { Clock } from '../signal/clock.ts';
import { flowOf } from '../signal/flow.ts';
import type { Happening, Trouble } from '../signal/happening.ts';
import { type HealthConfig, stepWatched, UNWATCHED, type Watched } from '../signal/health.ts';
import type { SignalInput, SignalState } from '../signal/signal.ts';
import { isCurrent } from '../signal/unread.ts';
import type { ScaleSource, SourceEvent } from '../wire/reading.ts';
import { weighingChart } from './chart.ts';
import { type Answer, panEvent } from './events.ts';
import type { RescueAsked } from './findRescue.ts';
import { returned } from './happened.ts';
import { baseNow, drawNow, isContent, wantedNow } from './look.ts';
import { createPourWatch, type Learnt, NOTHING_LEARNT, NOTHING_TOLD, type Told } from './pourWatch.ts';
import type { RecordInput } from './record.ts';

export type WeighingSnapshot = SnapshotFrom<typeof weighingChart>;

/** A scale of the station: how its signal is judged, and where its readings come from (none: the maker types them). */
export interface StationScale {
  readonly signal: HealthConfig;
  readonly source: ScaleSource | undefined;
}

export interface StationOptions {
  readonly batch: BatchState;
  readonly scales: readonly StationScale[];
  readonly log: FactLog;
  /** The operator, for the facts. */
  readonly by: string;
  readonly clock: Clock;
  /** What earlier pours left in the log. */
  readonly learnt?: Learnt;
  /** Works out how a batch can grow out of a hold; without it nothing is offered. */
  readonly findRescue?: (asked: RescueAsked) => Promise<Rescue>;
  /** Facts as they are written, after the chart knows them. */
  readonly onFacts?: (facts: readonly Fact[]) => void;
  /** The chart went on; never called twice with the same snapshot. */
  readonly onChange?: (snapshot: WeighingSnapshot) => void;
  /** Something about a scale's numbers changed; ask `live()`. */
  readonly onLive?: (scale: string) => void;
  readonly onHappening?: (happening: Happening) => void;
  /** The chart broke. What is in the log is safe. */
  readonly onBroken?: (error: unknown) => void;
}

/** The numbers of one scale at this moment. */
export interface Live {
  readonly scale: string;
  /** What it shows; undefined before the first reading. */
  readonly gross: Mass | undefined;
  readonly load: Mass | undefined;
  readonly zeroKnown: boolean;
  /** Net weight of the present draw, if this is its scale and its vessel was placed; else undefined. */
  readonly net: Mass | undefined;
  /** Readings come as they should. When false no number may be shown. */
  readonly fresh: boolean;
  readonly settled: boolean;
  readonly trouble: Trouble | undefined;
  /** Micrograms per second. */
  readonly flow: number;
  /** What the hand should do and where the pour lands, if this is the present draw's scale and something is poured. */
  readonly told: Told;
  /** Lines that could not be read, and the last of them. */
  readonly refused: number;
  readonly lastRefused: string | undefined;
}

/** The signals' tick: often enough that silence and rest are told promptly. */
const TICK_MS = 100;

export interface Station {
  start(): void;
  stop(): Promise<void>;
  answer(answer: Answer): void;
  /** Another bench is done with its part; it is taken while it is waited for. */
  partDone(broughtIn: BroughtIn): void;
  /** A typed display value of a scale without a port. */
  keyed(scale: string, gross: Mass): void;
  /** What came back out of the vessel before the last acceptance was not thrown away. Nothing where it was not asked. */
  returned(to: 'jar' | 'aside'): Promise<void>;
  /** The maker says that nothing is on this pan. */
  declareEmpty(scale: string): void;
  snapshot(): WeighingSnapshot;
  live(scale: string): Live;
}

interface Seat extends StationScale {
  state: Watched;
  refused: number;
  lastRefused: string | undefined;
}

/** Makes a station; nothing runs before `start`. */
export function createStation(options: StationOptions): Station {
  const { clock, log, by } = options;
  const seats = new Map<string, Seat>(
    options.scales.map((scale) => [
      scale.signal.scale,
      { ...scale, state: UNWATCHED, refused: 0, lastRefused: undefined },
    ]),
  );

  const record = fromPromise<readonly Fact[], RecordInput>(async ({ input }) => append(input));
  const { findRescue } = options;
  const rescuing = findRescue && {
    findRescue: fromPromise<Rescue, RescueAsked>(({ input }) => findRescue(input)),
  };
  const actor = createActor(weighingChart.provide({ actors: { record, ...rescuing } }), {
    input: { batch: options.batch, by },
    clock,
  });
  const pour = createPourWatch(options.learnt ?? NOTHING_LEARNT);
  let last: WeighingSnapshot | undefined;
  let timer: unknown;
  let running = false;

  async function append({ batch, happened }: RecordInput): Promise<readonly Fact[]> {
    const written: readonly Happened[] = happened.map(pour.noted);
    const facts = written.length === 0 ? [] : await log.append(batch, by, written);
    for (const each of written) pour.learn(each);
    try {
      options.onFacts?.(facts);
    } catch (error) {
      options.onBroken?.(error); // the facts are on the disk all the same: they must not be written once more
    }
    return facts;
  }

  function feed(scale: string, input: SignalInput): void {
    const seat = seats.get(scale);
    if (!seat || !running) return;
    const stepped = stepWatched(seat.state, input, seat.signal);
    seat.state = stepped.state;
    for (const happening of stepped.happenings) {
      options.onHappening?.(happening);
      actor.send(panEvent(happening));
      if (happening.kind === 'settled') pour.rested(scale, seat.state.health.samples, seat.signal.d);
    }
    if (input.kind === 'reading' || stepped.happenings.length > 0) {
      follow(scale, seat, input.kind === 'reading' ? input.reading.at : clock.now());
    }
    // Until it says another, a scale that speaks only on change shows its last figure.
    if (input.kind === 'tick' && seat.signal.rhythm === 'on-change') trace(scale, seat, input.at, true);
    if (input.kind === 'reading') trace(scale, seat, input.reading.at, false);
    if (input.kind !== 'tick' || stepped.happenings.length > 0) options.onLive?.(scale);
  }

  /** Only what is poured into a vessel or cup that stands on the pan; out of a jar it goes by the spoon. */
  function follow(scale: string, seat: Seat, at: number): void {
    const snapshot = actor.getSnapshot();
    const draw = drawNow(snapshot.context);
    if (draw?.scale !== scale) return;
    const base = baseNow(snapshot.context);
    const band = wantedNow(snapshot.context);
    const { signal } = seat.state;
    const net = signal.lastGross === undefined ? undefined : netOn(scale, minus(signal.lastGross, signal.zero));
    const isPouring = snapshot.matches('pouring') && draw.way !== 'subtract' && isFresh(signal, seat.signal);
    if (!isPouring || base === null || band === null || net === undefined) pour.pause();
    else pour.reading(draw, base, { ...band, d: seat.signal.d }, at, net, signal.level !== undefined);
  }

  /** Unlike the cues it goes on where too much is taken back, and out of a jar; not while its vessel is being put on. */
  function trace(scale: string, { state: { signal }, signal: config }: Seat, at: number, isHeld: boolean): void {
    const snapshot = actor.getSnapshot();
    const scene = snapshot.context;
    const draw = drawNow(scene);
    if (draw?.scale !== scale || snapshot.matches('placing') || signal.lastGross === undefined) return;
    if (!isFresh(signal, config)) return;
    const net = netOn(scale, minus(signal.lastGross, signal.zero));
    if (net === undefined || !isContent(scene, net)) return;
    pour.shown(draw.id, at, net, config.d, isHeld);
  }

  function toldOn(scale: string): Told {
    const snapshot = actor.getSnapshot();
    const draw = drawNow(snapshot.context);
    return draw?.scale === scale && snapshot.matches('pouring') ? pour.told(draw.id) : NOTHING_TOLD;
  }

  function hear(scale: string, event: SourceEvent): void {
    const seat = seats.get(scale);
    if (!seat) return;
    switch (event.kind) {
      case 'reading':
        feed(scale, { kind: 'reading', reading: event.reading });
        return;
      case 'condition':
        feed(scale, { kind: 'condition', condition: event.condition, at: event.at });
        return;
      case 'refused':
        seat.refused += 1;
        seat.lastRefused = event.raw;
        feed(scale, { kind: 'refused', at: event.at });
        return;
      case 'link':
        if (event.state === 'lost' || event.state === 'failed' || event.state === 'closed') {
          feed(scale, { kind: 'lost', at: event.at, say: event.say ?? null });
        }
        return;
    }
  }

  /** The chart pours only into a vessel that it knows by its weight; that proves the zero of its scale. */
  function provedByVessel(snapshot: WeighingSnapshot): void {
    const draw = drawNow(snapshot.context);
    const seat = draw && seats.get(draw.scale);
    if (seat && !seat.state.signal.zeroKnown && snapshot.matches('pouring'))
      feed(draw.scale, { kind: 'proved', at: clock.now() });
  }

  function tick(): void {
    if (!running) return;
    for (const scale of seats.keys()) feed(scale, { kind: 'tick', at: clock.now() });
    timer = clock.setTimeout(tick, TICK_MS);
  }

  return {
    start() {
      running = true;
      actor.subscribe({
        next(snapshot) {
          if (snapshot === last) return; // xstate tells every event, also those that changed nothing
          last = snapshot;
          provedByVessel(snapshot);
          options.onChange?.(snapshot);
        },
        error: (error) => options.onBroken?.(error),
      });
      actor.start();
      for (const [scale, seat] of seats) seat.source?.start((event) => hear(scale, event));
      tick();
    },
    async stop() {
      running = false;
      clock.clearTimeout(timer);
      actor.stop();
      await Promise.all([...seats.values()].map((seat) => seat.source?.stop()));
    },
    answer: (answer) => actor.send(answer),
    async returned(to) {
      const { batch } = actor.getSnapshot().context;
      const happened = returned({ batch }, to);
      if (happened.length === 0) return;
      const facts = await append({ batch: batch.batch, happened });
      actor.send({ type: 'fact.noted', facts });
    },
    partDone: (broughtIn) => actor.send({ type: 'part.done', broughtIn }),
    keyed: (scale, gross) => feed(scale, { kind: 'keyed', gross, at: clock.now() }),
    declareEmpty: (scale) => feed(scale, { kind: 'declared-empty', at: clock.now() }),
    snapshot: () => actor.getSnapshot(),
    live(scale) {
      const seat = seats.get(scale);
      if (!seat) throw new Error(`no scale ${scale} at this station`);
      const state = seat.state.signal;
      const load = state.lastGross === undefined ? undefined : minus(state.lastGross, state.zero);
      return {
        scale,
        gross: state.lastGross,
        load,
        zeroKnown: state.zeroKnown,
        net: netOn(scale, load),
        fresh: isFresh(state, seat.signal),
        settled: state.level !== undefined,
        trouble: state.trouble,
        flow: state.level === undefined ? flowOf(state.window) : 0,
        told: toldOn(scale),
        refused: seat.refused,
        lastRefused: seat.lastRefused,
      };
    },
  };

  /** Whether the last figure is what the scale shows now. */
  function isFresh(state: SignalState, config: HealthConfig): boolean {
    return (
      state.lastGross !== undefined && !state.silent && state.trouble === undefined && isCurrent(state.unread, config)
    );
  }

  function netOn(scale: string, load: Mass | undefined): Mass | undefined {
    const scene = actor.getSnapshot().context;
    const draw = drawNow(scene);
    const base = baseNow(scene);
    if (draw?.scale !== scale || base === null || load === undefined) return undefined;
    return netOf(draw.way, base, load);
  }
}
