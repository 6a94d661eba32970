/** What the chart remembers of each pan: its last happening, boiled down. */
import { isDoubtedBy, isKey, type Touched } from '../accept/zeroShift.ts';
import { type Mass, mass, minus, size, ZERO } from '../mass/mass.ts';
import type { Happening, Trouble } from '../signal/happening.ts';

export interface Pan {
  readonly state: 'unknown' | 'moving' | 'settled' | 'empty' | 'silent' | 'trouble';
  /** The load it rests at, or rested at last. */
  readonly load: Mass;
  /** The load it came to rest at first since it was empty or the draw came up; null before that. */
  readonly first: Mass | null;
  readonly zero: Mass;
  /** How far the zero had moved when the empty pan was last read; the farthest since a draw began that is not done. */
  readonly zeroShift: Mass;
  /** A draw has begun here, and is not accepted. */
  readonly begun: boolean;
  /** The draw accepted last here, and the farthest that the zero has moved since that began; should it be taken back. */
  readonly accepted: { readonly draw: string; readonly zeroShift: Mass } | null;
  readonly zeroKnown: boolean;
  /** The zero was not known, and neither an empty pan nor the beginning of a draw came since: a known vessel proved it. */
  readonly provedByVessel: boolean;
  /** The level has stood for the dwell time. */
  readonly dwelt: boolean;
  /** The level was typed by the maker. */
  readonly keyed: boolean;
  /** The display stopped in full stride: not to be believed before the load was lifted off. */
  readonly doubted: boolean;
  /** A pour may have gone on unheard since this level was told. */
  readonly unheard: boolean;
  /** It won't come to rest. */
  readonly restless: boolean;
  /** It has not changed for long. */
  readonly motionless: boolean;
  /** What is in the vessel that stands here was given up: until the pan was seen empty, it is not a clean one. */
  readonly toEmpty: boolean;
  /** What it rested at last before it was empty; null where that is not known. */
  readonly before: Mass | null;
  /** Draws accepted here since the pan was last read empty. */
  readonly weighed: readonly WeighedHere[];
  /** Draws that the empty pan was read after, with no gap between; kept until that is written. */
  readonly seen: readonly string[];
  /** The zero was found to have moved under such draws; kept until that is written. */
  readonly shifts: readonly ZeroShift[];
  /** It was empty, was pressed with a finger, and is empty again. */
  readonly tapped: boolean;
  /** The scale has said that its supply is low. */
  readonly lowSupply: boolean;
  readonly trouble: Trouble | null;
  readonly say: string | null;
}

export interface WeighedHere extends Touched {
  readonly draw: string;
}

export interface ZeroShift {
  readonly shift: Mass;
  readonly draws: readonly string[];
}

export type Pans = Readonly<Record<string, Pan>>;

export const UNKNOWN_PAN: Pan = {
  state: 'unknown',
  load: ZERO,
  first: null,
  zero: ZERO,
  zeroShift: ZERO,
  begun: false,
  accepted: null,
  zeroKnown: false,
  provedByVessel: false,
  dwelt: false,
  keyed: false,
  doubted: false,
  unheard: false,
  restless: false,
  motionless: false,
  toEmpty: false,
  before: null,
  weighed: [],
  seen: [],
  shifts: [],
  lowSupply: false,
  tapped: false,
  trouble: null,
  say: null,
};

/** A finger presses with more, a draught or a sleeve with less (common practice, no source). */
const TAP = mass(20_000_000);

/** The pans after a happening. */
export function notePan(pans: Pans, happening: Happening): Pans {
  return { ...pans, [happening.scale]: noted(pans[happening.scale] ?? UNKNOWN_PAN, happening) };
}

function noted(pan: Pan, happening: Happening): Pan {
  switch (happening.kind) {
    case 'moving':
    case 'fresh':
    case 'trouble-over':
      return { ...pan, state: 'moving', dwelt: false, motionless: false, trouble: null, say: null };
    case 'low-supply':
      return { ...pan, lowSupply: true };
    case 'restless':
      return { ...pan, restless: true };
    case 'motionless':
      return { ...pan, motionless: true };
    case 'settled':
    case 'dwelt': {
      const { load, gross, zeroKnown } = happening;
      const dwelt = happening.kind === 'dwelt';
      const keyed = happening.kind === 'dwelt' && happening.keyed;
      const doubted = happening.doubted === true;
      const unheard = happening.unheard === true;
      const zero = minus(gross, load);
      const provedByVessel = pan.provedByVessel || !zeroKnown;
      const level = { load, first: pan.first ?? load, zero, zeroKnown, provedByVessel, dwelt, keyed, doubted, unheard };
      return { ...pan, ...level, state: 'settled', restless: false };
    }
    case 'emptied': {
      const shift = happening.shift ?? ZERO;
      const zeroShift = pan.begun ? farther(pan.zeroShift, shift) : shift;
      const { accepted } = pan;
      const shifts = [...pan.shifts, ...shiftsUnder(pan, shift)];
      // After a gap in the readings, or a key pressed under the load, nothing tells how far it moved, or whether it did.
      const told = happening.shift === undefined ? [] : pan.weighed.filter((each) => !isKey(shift, each));
      const seen = told.map(({ draw }) => draw);
      const before = pan.load > 0 ? pan.load : pan.before;
      return {
        ...UNKNOWN_PAN,
        state: 'empty',
        zero: happening.zero,
        zeroShift,
        begun: pan.begun,
        accepted: accepted && { ...accepted, zeroShift: farther(accepted.zeroShift, shift) },
        zeroKnown: true,
        before,
        seen: [...pan.seen, ...seen],
        shifts,
        lowSupply: pan.lowSupply,
        tapped: (happening.pressed ?? 0) >= TAP,
      };
    }
    case 'silent':
      return { ...pan, state: 'silent', zeroKnown: false, dwelt: false, first: null, say: happening.say };
    case 'trouble':
      return { ...pan, state: 'trouble', zeroKnown: false, dwelt: false, first: null, trouble: happening.trouble };
  }
}

/** The larger of two shifts of a zero, whichever its sign. */
export function farther(one: Mass, other: Mass): Mass {
  return size(one) > size(other) ? one : other;
}

function shiftsUnder({ weighed }: Pan, shift: Mass): readonly ZeroShift[] {
  const draws = weighed.filter((each) => isDoubtedBy(shift, each)).map(({ draw }) => draw);
  return draws.length === 0 ? [] : [{ shift, draws }];
}

/** Whether nothing may be concluded from this pan at present. */
export function isUntrusted(pan: Pan): boolean {
  return pan.state === 'silent' || pan.state === 'trouble';
}

/** Loads of the pans that are at rest. */
export function loadsOf(pans: Pans): Readonly<Record<string, Mass>> {
  return Object.fromEntries(
    Object.entries(pans).flatMap(([id, { state, load }]) =>
      state === 'settled' || state === 'empty' ? [[id, load] as const] : [],
    ),
  );
}
