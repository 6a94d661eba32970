/** Too much on the pan, as the facts of a batch tell it, and how it ended. */
import type { Fact } from '../../facts/fact.ts';
import type { Mass } from '../../mass/mass.ts';
import type { Plan } from '../../plan/model.ts';
import { plannedDraw } from './recordDraws.ts';

/** Too much on the pan, noticed before it was accepted. */
export interface OverPour {
  readonly draw: string;
  readonly name: string;
  readonly lot: string;
  readonly scale: string;
  /** The largest settled net weight, and how far it lay over the band. */
  readonly net: Mass;
  readonly over: Mass;
  readonly at: string;
  readonly by: string;
  readonly end: 'taken back' | 'kept' | 'batch scaled up' | 'thrown away' | 'vessel given up' | 'open';
  /** What the maker said yes to, or why; null where nothing was to be said. */
  readonly why: string | null;
  /** When that was, and who said so; null while it is open. */
  readonly ended: string | null;
  readonly endedBy: string | null;
}

/** @param facts those of one batch that stand, in order */
export function overPoursOf(plan: Plan, facts: readonly Fact[]): OverPour[] {
  const done: OverPour[] = [];
  const open = new Map<string, OverPour>();
  const close = (id: string, end: OverPour['end'], { at, by }: Fact, why: string | null = null) => {
    const pour = open.get(id);
    if (pour) done.push({ ...pour, end, why, ended: at, endedBy: by });
    open.delete(id);
  };
  for (const fact of facts) {
    if (fact.kind === 'held') {
      const known = open.get(fact.draw);
      const { draw, net, over, at, by } = fact;
      if (known && known.net >= net) continue;
      const { name = draw, lot = '', scale = '' } = plannedDraw(plan, draw) ?? {};
      const first = { at: known?.at ?? at, by: known?.by ?? by };
      open.set(draw, {
        draw,
        name,
        lot,
        scale,
        net,
        over,
        ...first,
        end: 'open',
        why: null,
        ended: null,
        endedBy: null,
      });
    } else if (fact.kind === 'weighed') {
      const { deviation } = fact;
      if (deviation?.kind === 'over') close(fact.draw, 'kept', fact, deviation.reason);
      else close(fact.draw, 'taken back', fact);
    } else if (fact.kind === 'rescued' && fact.draw !== null) {
      close(fact.draw, 'batch scaled up', fact, fact.say);
    } else if (fact.kind === 'discarded') close(fact.draw, 'thrown away', fact, fact.reason);
    else if (fact.kind === 'given-up') {
      for (const id of [...open.keys()]) {
        if (fact.draws.includes(id) || plannedDraw(plan, id)?.vessel === fact.vessel)
          close(id, 'vessel given up', fact, fact.reason);
      }
    }
  }
  return [...done, ...open.values()];
}
