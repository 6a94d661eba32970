/** A pan told by hand: happenings as the signal says them, and the facts that come of them. */
import type { BarHappened } from '../../src/facts/barFacts.ts';
import { barsOf } from '../../src/facts/bars.ts';
import type { Fact } from '../../src/facts/fact.ts';
import { type Mass, mass, plus, ZERO } from '../../src/mass/mass.ts';
import type { Aim, Answer, BarScale, Portion, PortionInput } from '../../src/portion/model.ts';
import { beginPortion, stepPortion } from '../../src/portion/step.ts';
import type { Happening } from '../../src/signal/happening.ts';
import { barsBegin } from '../facts/sampleBars.ts';
import { sealed } from '../weighing/samplePlan.ts';

export const g = (grams: number): Mass => mass(Math.round(grams * 1e6));

export const bench: BarScale = {
  id: 'bench',
  d: g(0.1),
  stated: g(0.05),
  measured: null,
  weighings: undefined,
  slope: null,
};
export const aim: Aim = { setPoint: g(75), low: g(73.5), high: g(76.5), label: g(70) };

export interface Rig {
  state(): Portion;
  facts(): readonly BarHappened[];
  input(input: PortionInput): void;
  happens(happening: Happening): void;
  answer(answer: Answer): void;
  /** The empty pan at rest. */
  empty(shift?: Mass): void;
  /** Comes to rest, and stands there for the dwell time unless `early`. */
  stands(grams: number, how?: { early?: boolean; doubted?: boolean; zeroKnown?: boolean }): void;
  /** On, settled, off, empty. */
  bar(grams: number, shift?: Mass): void;
  nets(): readonly number[];
}

export function createRig(earlier: readonly BarHappened[] = [barsBegin]): Rig {
  const written: BarHappened[] = [...earlier];
  const facts = (): readonly Fact[] => sealed(written);
  const begun = barsOf(facts());
  if (!begun) throw new Error('no bars were begun');
  let state = beginPortion(bench, aim, begun);
  let zero = ZERO;
  const place = { scale: 'bench', at: 0 };
  const rig: Rig = {
    state: () => state,
    facts: () => written.slice(earlier.length),
    input(input) {
      const stepped = stepPortion(state, input);
      state = stepped.state;
      if (stepped.say.length === 0) return;
      written.push(...stepped.say);
      const bars = barsOf(facts());
      if (bars) rig.input({ kind: 'written', bars, count: stepped.say.length });
    },
    happens: (happening) => rig.input({ kind: 'happening', happening }),
    answer: (answer) => rig.input({ kind: 'answer', answer }),
    empty(shift = ZERO) {
      zero = plus(zero, shift);
      rig.happens({ kind: 'emptied', ...place, zero, shift });
    },
    stands(grams, { early = false, doubted = false, zeroKnown = true } = {}) {
      rig.happens({ kind: 'moving', ...place });
      const level = { ...place, load: g(grams), gross: plus(g(grams), zero), zeroKnown, doubted };
      rig.happens({ kind: 'settled', ...level });
      if (!early) rig.happens({ kind: 'dwelt', keyed: false, ...level });
    },
    bar(grams, shift) {
      rig.stands(grams);
      rig.happens({ kind: 'moving', ...place });
      rig.input({ kind: 'live', load: ZERO });
      rig.empty(shift);
    },
    nets: () => written.flatMap((each) => (each.kind === 'bar' ? [each.net / 1e6] : [])),
  };
  return rig;
}
