/** How a step of portioning ends: with nothing to be written, or with facts; and the fact of a bar. */
import type { BarHappened, BarVerdict } from '../facts/barFacts.ts';
import { nextBar } from '../facts/bars.ts';
import { type Mass, ZERO } from '../mass/mass.ts';
import { certaintyOfBar } from './mayCount.ts';
import type { Portion, Stepped, Stood } from './model.ts';

/** Nothing was shown since the pan was empty or at rest. */
export const UNTOLD = { least: null, most: ZERO, passed: null };

export const silent = (state: Portion): Stepped => ({ state, say: [] });
export const saying = (state: Portion, ...say: BarHappened[]): Stepped => ({
  state: { ...state, writing: [...state.writing, ...say] },
  say,
});

/** The next bar as a fact. @param shift how far the zero had moved when the empty pan was seen after it */
export function counted(
  state: Portion,
  stood: Stood,
  shift: Mass,
  verdict: BarVerdict,
  how: 'lift' | 'key',
): BarHappened {
  const { scale, bars } = state;
  const { budget, uncertainty, coverage } = certaintyOfBar(scale, stood.net, shift);
  const bar = nextBar(bars) + state.writing.filter(({ kind }) => kind === 'bar').length;
  const { net, zero } = stood;
  return { kind: 'bar', bar, net, scale: scale.id, zero, uncertainty, coverage, budget, verdict, how };
}
