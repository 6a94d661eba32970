/** Facts of a short invented portioning: six bars, one of them pulled, a short one, an offcut, one weighed again. */
import type { BarHappened, BarVerdict } from '../../src/facts/barFacts.ts';
import { mass, ZERO } from '../../src/mass/mass.ts';

const g = (grams: number) => mass(Math.round(grams * 1_000_000));

export const barsBegin: BarHappened = {
  kind: 'portioning-started',
  scale: 'bench',
  setPoint: g(75),
  low: g(73.5),
  high: g(76.5),
  label: g(70),
  mix: g(450),
};

export function aBar(bar: number, grams: number, verdict: BarVerdict = 'in'): BarHappened {
  const how = verdict === 'in' ? 'lift' : 'key';
  const sure = { uncertainty: g(0.164), coverage: 2 };
  return { kind: 'bar', bar, net: g(grams), scale: 'bench', zero: ZERO, ...sure, verdict, how };
}

export function sampleBars(): BarHappened[] {
  const weighed = { scale: 'bench', uncertainty: g(0.164) };
  return [
    barsBegin,
    aBar(1, 75.1),
    aBar(2, 74.8),
    aBar(3, 77.2, 'over'),
    { kind: 'bar-pulled', bar: 2, reason: 'a corner broke off', back: true },
    aBar(4, 75.4),
    { kind: 'bar-pressed', bar: 4, why: 'jam' },
    { kind: 'bar-pressed', bar: 4, why: 'again' },
    aBar(5, 74.9),
    aBar(6, 68.3, 'short'),
    { kind: 'left-over', what: 'offcut', net: g(75.3), ...weighed },
    { kind: 'left-over', what: 'crumbs', net: g(2.1), ...weighed },
    { kind: 'portioning-ended' },
    { kind: 'bar-weighed-again', bar: 1, net: g(71.7), ...weighed },
  ];
}
