/** The bars of a batch for its record: as data (they are what `facts/bars.ts` makes of the facts) and in words. */
import { outsideBy } from '../../accept/band.ts';
import { type Bar, type Bars, lotOf } from '../../facts/bars.ts';
import type { Fact } from '../../facts/fact.ts';
import { type Mass, mass, minus, sumOf } from '../../mass/mass.ts';
import { exactGrams, printMass } from '../../mass/text.ts';
import type { Plan } from '../../plan/model.ts';
import { missingAtEnd } from '../../portion/running.ts';
import { decimalsOfScale } from './recordDraws.ts';
import { clock, plainGrams, spelled } from './recordWords.ts';

export type BarRecord = Bar;
export type BarsRecord = Bars;

type BarFact = Fact & { kind: 'bar' | 'bar-pulled' | 'bar-pressed' };

/** What of a bar went otherwise than it should; undefined when nothing did. */
export function barOtherwise(fact: BarFact, plan: Plan, facts: readonly Fact[]): string | undefined {
  if (fact.kind === 'bar-pulled') {
    return `bar ${fact.bar} pulled by ${fact.by}${fact.back ? ', its mass put back into the mix' : ''}: ${fact.reason}`;
  }
  if (fact.kind === 'bar-pressed') return fact.why === 'jam' ? `bar ${fact.bar}: the press jammed on it` : undefined;
  if (fact.verdict === 'in') return undefined;
  const decimals = decimalsOfScale(plan, fact.scale);
  const net = printMass(fact.net, { decimals });
  if (fact.verdict === 'short') return `bar ${fact.bar}, ${net} g, is short, and not one of the lot`;
  const band = facts.findLast((each) => each.kind === 'portioning-started' && each.seq < fact.seq);
  const off =
    band?.kind === 'portioning-started'
      ? `${printMass(outsideBy(fact.net, band), { decimals })} g ${fact.verdict}`
      : fact.verdict;
  return `bar ${fact.bar}, ${net} g, is ${off} its band, kept by ${fact.by}`;
}

/** What of the whole portioning went otherwise, once it was ended: bars that did not come, and mix that went nowhere. */
export function barsOtherwise(bars: BarsRecord, plan: Plan): string[] {
  if (bars.ended === null) return [];
  const count = lotOf(bars).length;
  const missing = missingAtEnd(bars);
  const at = (of: Mass) => printMass(of, { decimals: decimalsOfScale(plan, bars.scale) });
  return [
    ...(plan.bars === null || count >= plan.bars ? [] : [`bars: ${plan.bars} were planned, ${count} are in the lot`]),
    ...(missing === null ? [] : [`bars: ${at(missing)} g of the mix were neither counted nor left over`]),
  ];
}

/** What is said beside one bar. */
export function barNotes(bar: BarRecord): string[] {
  const { verdict, how, pulled, back, jams } = bar;
  const again = bar.pressed - jams;
  return [
    ...(verdict === 'in' ? [] : [verdict === 'short' ? 'short, not one of the lot' : `${verdict} its band, kept`]),
    ...(how === 'key' && verdict === 'in' ? ['counted by a key'] : []),
    ...(pulled === null ? [] : [`pulled${back ? ', back into the mix' : ''}: ${pulled}`]),
    ...(again === 0 ? [] : [`pressed again ${again === 1 ? 'once' : `${again} times`}`]),
    ...(jams === 0 ? [] : [jams === 1 ? 'the press jammed once' : `the press jammed ${jams} times`]),
  ];
}

/** When the bars came to their end, or where they stand: `bars until 17:52:10`; undefined where there are none. */
export function barsUntil({ bars, started }: { readonly bars: BarsRecord | null; readonly started: string }) {
  if (bars === null) return undefined;
  if (bars.ended !== null) return `bars until ${clock(bars.ended, { started })}`;
  const last = bars.bars.at(-1);
  return last === undefined ? 'bars begun' : `bars not ended yet, the last so far ${clock(last.at, { started })}`;
}

/** On which scales, when and by whom: `Weighed on the bench scale, 2026-11-25 10:00:31 to 10:00:44 (+01:00), by Mara`. */
function weighedWhere({ bars, leftOver }: BarsRecord): string[] {
  const all = [...bars, ...leftOver];
  const [first, last] = [all[0], all.at(-1)];
  if (!first || !last) return [];
  const each = (of: readonly string[]) => [...new Set(of)].join(' and ');
  const until = last.at === first.at ? '' : ` to ${clock(last.at, { started: first.at })}`;
  const scales = each(all.map(({ scale }) => `the ${scale} scale`));
  return [`Weighed on ${scales}, from ${spelled(first.at)}${until}, by ${each(all.map(({ by }) => by))}`];
}

/** The bars in a few sentences: what was wanted, what came, on which scale, what was left over. */
export function barSentences(bars: BarsRecord, plan: Plan): string[] {
  const { setPoint, low, high, label, leftOver, mix } = bars;
  const at = (of: number, scale = bars.scale) => printMass(mass(of), { decimals: decimalsOfScale(plan, scale) });
  const lot = lotOf(bars);
  const nets = lot.map(({ net }) => net);
  const wanted = `Set-point ${plainGrams(setPoint)} g, from ${plainGrams(low)} to ${plainGrams(high)} g${label === null ? '' : `; label ${plainGrams(label)} g`}`;
  const short = bars.bars.filter(({ verdict, pulled }) => verdict === 'short' && pulled === null);
  const pulled = bars.bars.filter((bar) => bar.pulled !== null);
  const extra = [
    short.length > 0 ? `${short.length} short` : '',
    pulled.length > 0 ? `${pulled.length} pulled` : '',
    bars.ended === null ? 'not ended yet' : '',
  ].filter((part) => part !== '');
  const beside = extra.length > 0 ? ` (${extra.join(', ')})` : '';
  const came =
    lot.length === 0
      ? `No bars in the lot${beside}`
      : `${lot.length} bars in the lot${beside}, together ${at(sumOf(nets))} g: from ${at(Math.min(...nets))} to ${at(Math.max(...nets))} g, mean ${printMass(mass(Math.round(sumOf(nets) / lot.length)), { decimals: decimalsOfScale(plan, bars.scale) + 1 })} g`;
  const left = leftOver.map(({ what, net, scale }) => `${what} ${at(net, scale)} g`).join(', ');
  const out = sumOf([...bars.bars.filter(({ back }) => !back), ...leftOver].map(({ net }) => net));
  return [
    wanted,
    came,
    ...weighedWhere(bars),
    ...(left === '' ? [] : [`Left over, in no bar: ${left}; what became of it is not noted`]),
    ...(mix === null
      ? []
      : [`Mix by the batch's weighings ${at(mix)} g; weighed off ${at(out)} g, difference ${at(minus(out, mix))} g`]),
  ];
}

/** A bar weighed again, against what it weighed at first: `bar 4 weighed again 2026-12-02 09:00:00 (+01:00): ...`. */
export function againSentences(bars: BarsRecord, plan: Plan): string[] {
  return bars.bars.flatMap(({ bar, net, again }) =>
    again.map((each) => {
      const lost = net > 0 ? ` (${(((net - each.net) / net) * 100).toFixed(1)} % lost)` : '';
      const now = printMass(each.net, { decimals: decimalsOfScale(plan, each.scale) });
      return `Bar ${bar} weighed again ${spelled(each.at)}: ${now} g${lost}`;
    }),
  );
}

/** The bars as plain data for JSON; null when none were weighed off. */
export function barsData(bars: BarsRecord | null) {
  if (bars === null) return null;
  return {
    scale: bars.scale,
    set_point_g: exactGrams(bars.setPoint),
    low_g: exactGrams(bars.low),
    high_g: exactGrams(bars.high),
    label_g: bars.label === null ? null : exactGrams(bars.label),
    mix_g: bars.mix === null ? null : exactGrams(bars.mix),
    started: bars.started,
    ended: bars.ended,
    in_lot: lotOf(bars).length,
    bars: bars.bars.map((bar) => ({
      bar: bar.bar,
      net_g: exactGrams(bar.net),
      uncertainty_g: exactGrams(bar.uncertainty),
      scale: bar.scale,
      verdict: bar.verdict,
      counted: bar.how,
      pulled: bar.pulled,
      back_in_mix: bar.back,
      pressed_again: bar.pressed - bar.jams,
      jams: bar.jams,
      again: bar.again.map(({ net, uncertainty, ...rest }) => ({
        ...rest,
        net_g: exactGrams(net),
        uncertainty_g: exactGrams(uncertainty),
      })),
      at: bar.at,
      by: bar.by,
    })),
    left_over: bars.leftOver.map(({ net, uncertainty, ...rest }) => ({
      ...rest,
      net_g: exactGrams(net),
      uncertainty_g: exactGrams(uncertainty),
    })),
  };
}
