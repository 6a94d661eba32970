/**
 * The truth beside the facts: what really went where in the simulated world during each draw. It is told of each
 * fact before the hand moves again, so that what it measures is what the pan carried at that moment.
 */
import type { Fact } from '../../src/facts/fact.ts';
import { type Mass, minus, plus, sumOf, ZERO } from '../../src/mass/mass.ts';
import type { Plan, PlannedDraw } from '../../src/plan/model.ts';
import { contentOf, type Holder } from '../../src/simulate/holder.ts';
import type { World } from '../../src/simulate/world.ts';

export interface TrueDraw {
  /** What was in the vessel or cup (or out of the jar) when the weight was accepted. */
  readonly net: Mass;
  /** What left the lot during the draw, whatever became of it. */
  readonly taken: Mass;
  /** What reached the draw's vessel; of a cup, with what an earlier draw had left in it. */
  readonly bowl: Mass;
}

interface Begun {
  readonly inVessel: Mass;
  readonly inLot: Mass;
}

export class Ledger {
  readonly draws = new Map<string, TrueDraw>();
  readonly #world: World;
  readonly #begun = new Map<string, Begun>();
  readonly #bowlBefore = new Map<string, Mass>();
  #plan: Plan | undefined;
  #seq = 0;

  constructor(world: World) {
    this.#world = world;
  }

  /** Takes note of the facts that are new. */
  note(facts: readonly Fact[]): void {
    for (const fact of facts) {
      if (fact.seq <= this.#seq) continue;
      this.#seq = fact.seq;
      if (fact.kind === 'batch-started') this.#plan = fact.plan;
      const draw = 'draw' in fact ? this.#drawOf(fact.draw) : undefined;
      if (draw) this.#noteOf(fact, draw);
    }
  }

  #noteOf(fact: Fact, draw: PlannedDraw): void {
    const vessel = this.#world.vessel(draw.on);
    const lot = this.#world.lot(draw.lot);
    if (fact.kind === 'placed') {
      this.#begun.set(draw.id, { inVessel: contentOf(vessel), inLot: contentOf(lot) });
    } else if (fact.kind === 'weighed') {
      // A draw that was never placed stood on the pan already: it began with what the draw before had left.
      const begun = this.#begun.get(draw.id);
      if (!begun) throw new Error(`draw ${draw.id} was weighed, and never placed`);
      const taken = minus(begun.inLot, contentOf(lot));
      const net = draw.way === 'subtract' ? taken : minus(contentOf(vessel), begun.inVessel);
      this.draws.set(draw.id, { net, taken, bowl: net });
      this.#bowlBefore.set(draw.id, held(this.#world.vessel(draw.vessel)));
    } else if (fact.kind === 'tipped') {
      const known = this.draws.get(draw.id);
      const before = this.#bowlBefore.get(draw.id);
      if (!known || before === undefined) throw new Error(`draw ${draw.id} was tipped, and never weighed`);
      const bowl = minus(held(this.#world.vessel(draw.vessel)), before);
      this.draws.set(draw.id, { ...known, bowl });
    }
  }

  #drawOf(id: string | null): PlannedDraw | undefined {
    return this.#plan?.tasks.find((task): task is PlannedDraw => task.kind === 'draw' && task.id === id);
  }
}

const held = (holder: Holder): Mass => sumOf([contentOf(holder)]);

/** Everything that is anywhere in the world, by lot: it must never change. */
export function everywhere(world: World, holders: readonly Holder[]): ReadonlyMap<string, Mass> {
  const sums = new Map<string, Mass>();
  for (const holder of new Set([...holders, world.spoon, world.bin])) {
    for (const [lot, amount] of holder.contents) sums.set(lot, plus(sums.get(lot) ?? ZERO, amount));
  }
  return sums;
}
