/**
 * The hand at the simulated bench. It moves material and vessels; a pour takes time and runs on a little after it is
 * stopped. Whatever leaves a lot arrives somewhere.
 */
import { lesser, type Mass, mass, minus, ZERO } from '../mass/mass.ts';
import { contentOf, type Holder, move } from './holder.ts';
import { loadOf, type Pan } from './pan.ts';
import type { World } from './world.ts';

export interface PourSettings {
  readonly from: Holder;
  readonly to: Holder;
  /** How fast it runs. */
  readonly gramsPerSecond: number;
  /** Where the hand stops by itself; undefined: at `stop()`. */
  readonly upTo?: Mass | undefined;
  /** What still runs or drips after the stop. */
  readonly afterRun?: Mass | undefined;
}

export interface Pour {
  /** The hand stops; the after-run still comes. Harmless when it has stopped already. */
  stop(): void;
  /** True once nothing runs any more. */
  readonly done: boolean;
  /** What has arrived so far. */
  readonly arrived: Mass;
}

export interface Hand {
  /** Lets time pass up to `toMs` (monotonic milliseconds; never backwards). */
  advance(toMs: number): void;
  /** Stands a vessel on a pan; it leaves the pan that it stood on. */
  put(vessel: Holder, on: Pan): void;
  /** Lifts a vessel off its pan. */
  lift(vessel: Holder): void;
  pour(settings: PourSettings): Pour;
  /** Stops whatever is being poured. */
  stop(): void;
  /** True while something runs or drips. */
  readonly pouring: boolean;
  /** A spoonful, a drop, a pinch: at once. @returns what was really moved */
  move(from: Holder, to: Holder, amount: Mass): Mass;
  /** Tips a vessel out into another; `residue` stays in it. @returns what was moved */
  tip(from: Holder, to: Holder, residue?: Mass): Mass;
  /**
   * The true load on a pan at a time, for an instrument: lets time pass first. One that comes late is told what was
   * there at its own time, so that a computer that was held up makes no lumps of what ran in meanwhile.
   */
  loadOn(pan: Pan): (atMs: number) => Mass;
}

/** The after-run halves about every 0.28 s (time constant; common practice, no source). */
const AFTER_RUN_MS = 400;
/** What is left of an after-run below this is let go at once. */
const LAST_DROP = mass(500);
/** Loads are known at least this often while time passes, milliseconds, and for so long afterwards. */
const LONGEST_STEP_MS = 20;
const KEPT_MS = 60_000;

/** What was on a pan, from a time on; oldest first. */
type Past = { readonly at: number; readonly load: Mass }[];

interface Running extends PourSettings {
  stopped: boolean;
  /** What of the after-run is still to come. */
  toCome: Mass;
  /** A fraction of a microgram carried to the next step. */
  carry: number;
  arrived: Mass;
  done: boolean;
}

/**
 * @param startMs monotonic milliseconds from which on `advance` counts
 * @param now the time at which the hand does what it is told to; by default as far as time has passed
 */
export function createHand(world: World, startMs = 0, now: () => number = () => startMs): Hand {
  let time = startMs;
  let running: Running[] = [];
  const pasts = new Map<Pan, Past>();

  const note = (): void => {
    for (const [pan, past] of pasts) {
      const load = loadOf(pan);
      if (past.at(-1)?.load !== load) past.push({ at: time, load });
      while (past[1] && past[1].at < time - KEPT_MS) past.shift();
    }
  };

  const give = (pour: Running, amount: number): Mass => {
    const exact = amount + pour.carry;
    const whole = mass(Math.max(0, Math.floor(exact)));
    pour.carry = exact - whole;
    const moved = move(pour.from, pour.to, whole);
    pour.arrived = mass(pour.arrived + moved);
    return moved;
  };

  const halt = (pour: Running): void => {
    if (pour.stopped) return;
    pour.stopped = true;
    pour.toCome = lesser(pour.afterRun ?? ZERO, contentOf(pour.from));
    pour.carry = 0;
  };

  const step = (pour: Running, ms: number): void => {
    if (!pour.stopped) {
      const rest = pour.upTo === undefined ? Number.POSITIVE_INFINITY : minus(pour.upTo, pour.arrived);
      const wanted = Math.min(rest, pour.gramsPerSecond * 1000 * ms);
      give(pour, wanted);
      if (wanted === rest || contentOf(pour.from) === 0) halt(pour);
      return;
    }
    const share = pour.toCome <= LAST_DROP ? 1 : 1 - Math.exp(-ms / AFTER_RUN_MS);
    const amount = mass(Math.ceil(pour.toCome * share));
    pour.arrived = mass(pour.arrived + move(pour.from, pour.to, amount));
    pour.toCome = minus(pour.toCome, amount);
    if (pour.toCome === 0 || contentOf(pour.from) === 0) pour.done = true;
  };

  const hand: Hand = {
    advance(toMs) {
      note();
      while (time < toMs) {
        const ms = Math.min(LONGEST_STEP_MS, toMs - time);
        time = running.length > 0 ? time + ms : toMs;
        for (const pour of running) step(pour, ms);
        running = running.filter((pour) => !pour.done);
        note();
      }
    },
    put(vessel, on) {
      hand.lift(vessel);
      on.standing.add(vessel);
    },
    lift(vessel) {
      hand.advance(now());
      world.panUnder(vessel)?.standing.delete(vessel);
    },
    pour(settings) {
      hand.advance(now());
      if (!(settings.gramsPerSecond > 0)) throw new RangeError('a pour must run faster than nothing');
      const pour: Running = { ...settings, stopped: false, toCome: ZERO, carry: 0, arrived: ZERO, done: false };
      running.push(pour);
      return {
        stop() {
          hand.advance(now());
          halt(pour);
        },
        get done() {
          return pour.done;
        },
        get arrived() {
          return pour.arrived;
        },
      };
    },
    stop() {
      hand.advance(now());
      for (const pour of running) halt(pour);
    },
    get pouring() {
      return running.length > 0;
    },
    move(from, to, amount) {
      hand.advance(now());
      return move(from, to, amount);
    },
    tip(from, to, residue = ZERO) {
      hand.advance(now());
      const amount = minus(contentOf(from), residue);
      return amount > 0 ? move(from, to, amount) : ZERO;
    },
    loadOn(pan) {
      const past: Past = pasts.get(pan) ?? [];
      pasts.set(pan, past);
      return (atMs) => {
        if (atMs >= time) {
          hand.advance(atMs);
          return loadOf(pan);
        }
        return past.findLast(({ at }) => at <= atMs)?.load ?? loadOf(pan);
      };
    },
  };
  return hand;
}
