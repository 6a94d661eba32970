/**
 * The signal: a pure reducer from readings to rare happenings.
 *
 * It owns all that is continuous about one pan: is it at rest, where is the empty pan's zero, is it still talking.
 * Feed it readings as they come and a tick a few times a second; it returns the next state and what happened.
 */
import { greater, type Mass, minus, ZERO } from '../mass/mass.ts';
import { onGrid } from '../mass/text.ts';
import type { Unit } from '../mass/units.ts';
import { isQuietByHabit, type Reading, type Rhythm } from '../wire/reading.ts';
import type { Happening, Level, Trouble } from './happening.ts';
import { MOST_SAMPLES, type Sample, settledAt, windowMs } from './settled.ts';
import { asleep, movingLimit, silenceLimit } from './silence.ts';
import { isCurrent, isUnreadForLong, type Unread } from './unread.ts';
import { type BeforeGap, isOwnZero, meaningOf } from './zero.ts';

/** What the signal must know of a scale. */
export interface SignalConfig {
  readonly scale: string;
  readonly d: Mass;
  readonly repeatability: Mass | undefined;
  readonly rhythm: Rhythm;
  /** Lines a second that the scale usually sends. */
  readonly linesPerSecond: number;
  /** The unit that the scale must show; any other is trouble. */
  readonly unit: Unit;
  /** How long a level must stand before it is told as dwelt, milliseconds. */
  readonly dwellMs: number;
  /** The scale switches itself off after so long without a change, milliseconds; undefined: never, or not known. */
  readonly sleepsAfterMs?: number | undefined;
}

export type SignalInput =
  | { readonly kind: 'reading'; readonly reading: Reading }
  | { readonly kind: 'condition'; readonly condition: Exclude<Trouble, 'wrong-unit'>; readonly at: number }
  /** A line came that does not fit the profile. */
  | { readonly kind: 'refused'; readonly at: number }
  | { readonly kind: 'tick'; readonly at: number }
  /** The way to the scale is down. */
  | { readonly kind: 'lost'; readonly at: number; readonly say: string | null }
  /** The maker says that the pan is empty now. */
  | { readonly kind: 'declared-empty'; readonly at: number }
  /** A known vessel stands on the pan with its known weight: that proves the zero. */
  | { readonly kind: 'proved'; readonly at: number }
  /** The maker typed what the display of a scale without a port shows. */
  | { readonly kind: 'keyed'; readonly gross: Mass; readonly at: number };

export interface SignalState {
  readonly window: readonly Sample[];
  readonly lastAt: number | undefined;
  readonly lastGross: Mass | undefined;
  readonly zero: Mass;
  readonly zeroKnown: boolean;
  /** The level that the pan rests at; undefined while moving. */
  readonly level:
    | { readonly gross: Mass; readonly since: number; readonly dwelt: boolean; readonly empty: boolean }
    | undefined;
  /** What the scale showed before its readings stopped, to recognise it when they come back. */
  readonly beforeGap: BeforeGap | undefined;
  /** Whether the last level was the empty pan, or a load put on it that happens to show the scale's own zero. */
  readonly wasEmpty: boolean;
  /** The most that the pan has shown against its zero since it last left a level; 0 while it rests. */
  readonly most: Mass;
  readonly silent: boolean;
  /** The cause that the silence was told with; null for none. */
  readonly silentSay: string | null;
  readonly trouble: Trouble | undefined;
  /** Lines that could not be read since the last good one: what it says now is not known. */
  readonly unread: Unread | undefined;
}

export const STILL: SignalState = {
  window: [],
  lastAt: undefined,
  lastGross: undefined,
  zero: ZERO,
  zeroKnown: false,
  level: undefined,
  beforeGap: undefined,
  wasEmpty: false,
  most: ZERO,
  silent: false,
  silentSay: null,
  trouble: undefined,
  unread: undefined,
};

/** A level is left for another when the mean is off it by more than this share of d; keeps flicker from restarting it. */
const LEVEL_HYSTERESIS = 0.75;

export interface Stepped {
  readonly state: SignalState;
  readonly happenings: readonly Happening[];
}

/** One step of the signal. Never throws; what is older than the last word from the scale is left out. */
export function step(state: SignalState, input: SignalInput, config: SignalConfig): Stepped {
  if (isLate(state, input)) return { state, happenings: [] };
  switch (input.kind) {
    case 'reading':
      return onReading(state, input.reading, config);
    case 'condition':
      return onTrouble(heard(state, input.at), input.condition, input.at, config);
    case 'refused':
      return onRefused(state, input.at, config);
    case 'tick':
      return onTick(state, input.at, config);
    case 'lost':
      return fallSilent(state, input.at, input.say, config);
    case 'declared-empty':
      return onDeclaredEmpty(state, input.at, config);
    case 'proved':
      return { state: state.level === undefined ? state : { ...state, zeroKnown: true }, happenings: [] };
    case 'keyed':
      return onGiven(state, input.gross, input.at, true, config);
  }
}

/** Whether this was said before what is known already. */
function isLate({ lastAt }: SignalState, input: SignalInput): boolean {
  if (lastAt === undefined) return false;
  if (input.kind === 'reading') return input.reading.at < lastAt;
  return (input.kind === 'tick' || input.kind === 'condition' || input.kind === 'refused') && input.at < lastAt;
}

function heard(state: SignalState, at: number): SignalState {
  return { ...state, lastAt: at };
}

function onReading(before: SignalState, reading: Reading, config: SignalConfig): Stepped {
  const { at } = reading;
  if (reading.unit !== config.unit) return onTrouble(heard(before, at), 'wrong-unit', at, config);

  const happenings: Happening[] = [];
  let state: SignalState = { ...heard(before, at), unread: undefined };
  if (state.silent) {
    happenings.push({ kind: 'fresh', scale: config.scale, at });
    state = { ...state, silent: false, window: [] };
  }
  if (state.trouble !== undefined) {
    happenings.push({ kind: 'trouble-over', scale: config.scale, at });
    state = { ...state, trouble: undefined, window: [] };
  }
  if (config.rhythm === 'on-key') {
    // The key was pressed to give this figure: nothing is to be waited for.
    const given =
      reading.stable === false ? { state, happenings: [] } : onGiven(state, reading.mass, at, false, config);
    return { state: given.state, happenings: [...happenings, ...given.happenings] };
  }
  const window = [...state.window, { at, gross: reading.mass, stable: reading.stable }];
  const most = greater(state.most, minus(reading.mass, state.zero));
  state = { ...state, window: recent(window, at, config), lastGross: reading.mass, most };
  const next = rest(state, at, config);
  return { state: next.state, happenings: [...happenings, ...next.happenings] };
}

function onRefused(before: SignalState, at: number, config: SignalConfig): Stepped {
  const unread = { since: before.unread?.since ?? at, lines: (before.unread?.lines ?? 0) + 1 };
  const state = { ...heard(before, at), unread };
  if (isCurrent(unread, config)) return { state, happenings: [] };
  const happenings: Happening[] = state.level === undefined ? [] : [{ kind: 'moving', scale: config.scale, at }];
  return { state: { ...state, window: [], level: undefined }, happenings };
}

function onTick(state: SignalState, at: number, config: SignalConfig): Stepped {
  if (state.lastAt === undefined) return { state, happenings: [] };
  if (state.trouble !== 'unread' && isUnreadForLong(state.unread, at, config))
    return onTrouble(state, 'unread', at, config);
  if (state.silent) return { state, happenings: [] };
  const isTyped = state.level !== undefined && state.window.length === 0;
  if (isTyped) return { state, happenings: [] }; // it stands until the next is typed
  const quietMs = at - state.lastAt;
  const limit = silenceLimit(config);
  if (limit !== undefined && quietMs > limit) return fallSilent(state, at, asleep(config), config);
  const saysItMoves = state.window.at(-1)?.stable === false;
  if (saysItMoves && quietMs > (movingLimit(config) ?? quietMs)) return fallSilent(state, at, null, config);
  if (!isQuietByHabit(config.rhythm) || state.trouble !== undefined) return { state, happenings: [] };
  // By its silence such a scale says that it is at rest, or that it moves.
  return rest(state, at, config);
}

/** Looks whether the pan is at rest now, and tells what that means. */
function rest(state: SignalState, at: number, config: SignalConfig): Stepped {
  const mean = settledAt(state.window, at, config);
  if (mean === undefined) {
    if (state.level === undefined) return { state, happenings: [] };
    return { state: { ...state, level: undefined }, happenings: [{ kind: 'moving', scale: config.scale, at }] };
  }
  const { level } = state;
  if (level === undefined || Math.abs(mean - level.gross) > LEVEL_HYSTERESIS * config.d) {
    return settle(state, onGrid(mean, config.d), at, config);
  }
  if (level.dwelt || at - level.since < config.dwellMs) return { state, happenings: [] };
  const gross = onGrid(mean, config.d); // the best figure for what is now going to be judged
  return {
    state: { ...state, level: { ...level, gross, dwelt: true } },
    happenings: level.empty
      ? []
      : [{ kind: 'dwelt', scale: config.scale, at, keyed: false, ...levelOf(state, gross, config) }],
  };
}

function levelOf(state: SignalState, gross: Mass, { rhythm }: SignalConfig): Level {
  const level = { load: minus(gross, state.zero), gross, zeroKnown: state.zeroKnown };
  return rhythm === 'on-settled' ? { ...level, unheard: true } : level;
}

/** The pan has come to rest at a new level. */
function settle(before: SignalState, gross: Mass, at: number, config: SignalConfig): Stepped {
  const meaning = meaningOf(gross, before, config.d);
  const staysInDoubt = meaning === 'doubtful' && isOwnZero(gross, config.d);
  const beforeGap = staysInDoubt ? before.beforeGap : undefined;
  const state = { ...before, zeroKnown: meaning === 'loaded', beforeGap };
  return meaning === 'empty' ? emptied(state, gross, at, config) : loaded(state, gross, at, config);
}

function loaded(state: SignalState, gross: Mass, at: number, config: SignalConfig): Stepped {
  return {
    state: {
      ...state,
      wasEmpty: state.wasEmpty && isOwnZero(gross, config.d),
      most: ZERO,
      level: { gross, since: at, dwelt: false, empty: false },
    },
    happenings: [{ kind: 'settled', scale: config.scale, at, ...levelOf(state, gross, config) }],
  };
}

function emptied(state: SignalState, zero: Mass, at: number, config: SignalConfig): Stepped {
  return {
    state: {
      ...state,
      zero,
      zeroKnown: true,
      beforeGap: undefined,
      wasEmpty: true,
      most: ZERO,
      level: { gross: zero, since: at, dwelt: false, empty: true },
    },
    happenings: [{ kind: 'emptied', scale: config.scale, at, zero, pressed: state.wasEmpty ? state.most : ZERO }],
  };
}

function onDeclaredEmpty(state: SignalState, at: number, config: SignalConfig): Stepped {
  if (state.silent || state.trouble !== undefined || state.level === undefined) return { state, happenings: [] };
  return emptied(state, state.level.gross, at, config);
}

/** A figure that a person gave: typed, or sent by a key on the scale. */
function onGiven(state: SignalState, gross: Mass, at: number, keyed: boolean, config: SignalConfig): Stepped {
  const shown = { ...state, window: [], lastAt: at, lastGross: gross };
  const next = settle(shown, gross, at, config);
  const { level } = next.state;
  if (level === undefined || level.empty) return next;
  return {
    state: { ...next.state, level: { ...level, dwelt: true } },
    happenings: [
      ...next.happenings,
      { kind: 'dwelt', scale: config.scale, at, keyed, ...levelOf(next.state, gross, config) },
    ],
  };
}

function fallSilent(state: SignalState, at: number, say: string | null, config: SignalConfig): Stepped {
  // A silence that was told without a cause gets one once it is known.
  if (state.silent && (say === null || state.silentSay !== null)) return { state, happenings: [] };
  return {
    state: { ...distrust(state), silent: true, silentSay: say, trouble: undefined, unread: undefined },
    happenings: [{ kind: 'silent', scale: config.scale, at, say }],
  };
}

/** Trouble that leaves the zero as it is: the scale went on weighing, only its figures could not be used. */
const KEEPS_ZERO: ReadonlySet<Trouble> = new Set(['wrong-unit', 'over-range', 'unread']);

function onTrouble(before: SignalState, trouble: Trouble, at: number, config: SignalConfig): Stepped {
  const happenings: Happening[] = before.silent ? [{ kind: 'fresh', scale: config.scale, at }] : [];
  if (before.trouble !== trouble) happenings.push({ kind: 'trouble', scale: config.scale, at, trouble });
  const keepsZero = !before.silent && KEEPS_ZERO.has(trouble);
  const state = keepsZero ? { ...before, window: [], level: undefined } : distrust(before);
  return {
    state: { ...state, silent: false, trouble, unread: trouble === 'unread' ? before.unread : undefined },
    happenings,
  };
}

/** After a gap in the readings the zero must be proved again. */
function distrust(state: SignalState): SignalState {
  const { level, lastGross, zeroKnown } = state;
  const gross = level?.gross ?? lastGross;
  const seen = gross === undefined ? undefined : { gross, proved: zeroKnown && level !== undefined };
  return { ...state, window: [], level: undefined, beforeGap: state.beforeGap ?? seen, zeroKnown: false };
}

function recent(window: readonly Sample[], at: number, config: SignalConfig): readonly Sample[] {
  const from = at - windowMs(config) * 1.5;
  const first = window.findIndex((sample) => sample.at >= from);
  // One older figure stays: a scale that speaks on change still shows it.
  return window.slice(Math.max(0, first - 1)).slice(-MOST_SAMPLES);
}
