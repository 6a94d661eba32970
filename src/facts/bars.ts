/** The bars of a batch as its facts tell them. The count goes on from here after any stop. */
import { type Mass, minus, sumOf, ZERO } from '../mass/mass.ts';
import type { BarVerdict, LeftOver } from './barFacts.ts';
import type { Fact } from './fact.ts';

/** A bar on the scale once more, after it has dried for a while. */
export interface BarAgain {
  readonly net: Mass;
  readonly uncertainty: Mass;
  readonly scale: string;
  readonly at: string;
  readonly by: string;
}

export interface Bar {
  /** From 1; a pulled bar keeps its number. */
  readonly bar: number;
  readonly net: Mass;
  /** Expanded. */
  readonly uncertainty: Mass;
  readonly scale: string;
  readonly at: string;
  readonly by: string;
  /** Place of its fact in the log. */
  readonly seq: number;
  /** What it was aimed at, and the band that it was judged by: the set-point may be changed between two bars. */
  readonly aim: { readonly setPoint: Mass; readonly low: Mass; readonly high: Mass };
  /** As it stood when it was counted. */
  readonly verdict: BarVerdict;
  readonly how: 'lift' | 'key';
  /** Why it was taken out of the lot; null while it is in. */
  readonly pulled: string | null;
  /** Pulled, and its mass went back into the mix. */
  readonly back: boolean;
  /** How often something was said of its pressing: pressed again, or jams of the press. */
  readonly pressed: number;
  readonly jams: number;
  readonly again: readonly BarAgain[];
}

export interface LeftOverWeighed {
  readonly what: LeftOver;
  readonly net: Mass;
  readonly uncertainty: Mass;
  readonly scale: string;
  readonly at: string;
  readonly by: string;
}

export interface Bars {
  readonly scale: string;
  readonly setPoint: Mass;
  readonly low: Mass;
  readonly high: Mass;
  /** Declared net weight; null when none was known. */
  readonly label: Mass | null;
  /** What there was to make bars of; null when not known. */
  readonly mix: Mass | null;
  readonly started: string;
  /** When it was said that no more come; null while bars are weighed off. */
  readonly ended: string | null;
  /** In the order in which they were counted, pulled ones too. */
  readonly bars: readonly Bar[];
  readonly leftOver: readonly LeftOverWeighed[];
}

/**
 * The bars of a batch; null when none were weighed off. Facts about a bar that was never counted change nothing.
 * @param facts the facts of one batch, in order; others among them are passed over
 */
export function barsOf(facts: readonly Fact[]): Bars | null {
  return facts.reduce<Bars | null>(withFact, null);
}

/** The bars after one more fact. */
export function withFact(state: Bars | null, fact: Fact): Bars | null {
  if (fact.kind === 'portioning-started') {
    const { scale, setPoint, low, high, label, mix, at } = fact;
    const sofar = state ?? { started: at, bars: [], leftOver: [] };
    return { ...sofar, scale, setPoint, low, high, label, mix: mix ?? state?.mix ?? null, ended: null };
  }
  if (state === null) return null;
  switch (fact.kind) {
    case 'bar': {
      const { bar, net, uncertainty, scale, at, by, seq, verdict, how } = fact;
      const none = { pulled: null, back: false, pressed: 0, jams: 0, again: [] };
      const { setPoint, low, high } = state;
      const aim = { setPoint, low, high };
      const counted = { bar, net, uncertainty, scale, at, by, seq, aim, verdict, how, ...none };
      return { ...state, bars: [...state.bars, counted] };
    }
    case 'bar-pulled':
      return setBar(state, fact.bar, () => ({ pulled: fact.reason, back: fact.back }));
    case 'bar-pressed':
      return setBar(state, fact.bar, ({ pressed, jams }) => ({
        pressed: pressed + 1,
        jams: jams + (fact.why === 'jam' ? 1 : 0),
      }));
    case 'left-over': {
      const { what, net, uncertainty, scale, at, by } = fact;
      return { ...state, leftOver: [...state.leftOver, { what, net, uncertainty, scale, at, by }] };
    }
    case 'bar-weighed-again': {
      const { net, uncertainty, scale, at, by } = fact;
      return setBar(state, fact.bar, ({ again }) => ({ again: [...again, { net, uncertainty, scale, at, by }] }));
    }
    case 'bar-again-undone':
      return setBar(state, fact.bar, ({ again }) => ({ again: again.slice(0, -1) }));
    case 'portioning-ended':
      return { ...state, ended: fact.at };
    default:
      return state;
  }
}

function setBar(state: Bars, number: number, change: (bar: Bar) => Partial<Bar>): Bars {
  const index = state.bars.findLastIndex(({ bar }) => bar === number);
  const bar = state.bars[index];
  if (!bar) return state;
  return { ...state, bars: state.bars.with(index, { ...bar, ...change(bar) }) };
}

/** The bars that are sold under the label: neither pulled nor short. */
export function lotOf({ bars }: Pick<Bars, 'bars'>): readonly Bar[] {
  return bars.filter(({ pulled, verdict }) => pulled === null && verdict !== 'short');
}

/** The number of the next bar. */
export function nextBar({ bars }: Pick<Bars, 'bars'>): number {
  return Math.max(0, ...bars.map(({ bar }) => bar)) + 1;
}

/** What should be left of the mix: without all that was weighed off it and not put back; null when not known. */
export function mixLeft({ mix, bars, leftOver }: Bars): Mass | null {
  if (mix === null) return null;
  const off = sumOf([...bars.filter(({ back }) => !back), ...leftOver].map(({ net }) => net));
  const left = minus(mix, off);
  return left > 0 ? left : ZERO;
}
