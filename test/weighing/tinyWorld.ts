/**
 * A bench as plain values: vessels, what is truly in them, and which pan they stand on. Whatever is poured comes from
 * somewhere and goes somewhere. All weights lie on the scales' grid, so that what is recorded can be the truth exactly.
 */
import { type Mass, minus, plus, sumOf, ZERO } from '../../src/mass/mass.ts';
import type { Plan, PlannedDraw } from '../../src/plan/model.ts';
import { type PanEvent, panEvent } from '../../src/weighing/events.ts';
import { g } from './samplePlan.ts';

export type VesselId = 'bowl' | 'beaker' | 'cup' | 'jar';
export type PanId = 'bench' | 'fine';
export const VESSELS: readonly VesselId[] = ['bowl', 'beaker', 'cup', 'jar'];

interface TruePan {
  standing: VesselId | null;
  /** Whether the scale's signal has seen the empty pan since the readings last stopped. */
  zeroKnown: boolean;
  silent: boolean;
}

export class TinyWorld {
  readonly #empty: Readonly<Record<VesselId, Mass>> = {
    bowl: g(300.3),
    beaker: g(150.1),
    cup: g(30.02),
    jar: g(60.01),
  };
  /** By vessel (or the spoon, or the bin) and draw. */
  readonly #content = new Map<string, Map<string, Mass>>();
  readonly pans: Record<PanId, TruePan> = {
    bench: { standing: null, zeroKnown: false, silent: false },
    fine: { standing: null, zeroKnown: false, silent: false },
  };
  /** All that was ever taken out of lots, by draw. */
  readonly #taken = new Map<string, Mass>();

  constructor() {
    this.#add('jar', 'stock', g(20.04));
  }

  #add(where: string, draw: string, amount: Mass): void {
    const content = this.#content.get(where) ?? new Map<string, Mass>();
    this.#content.set(where, content);
    content.set(draw, plus(content.get(draw) ?? ZERO, amount));
  }

  /** True amount of a draw's ingredient somewhere. */
  amount(where: string, draw: string): Mass {
    return this.#content.get(where)?.get(draw) ?? ZERO;
  }

  load(vessel: VesselId): Mass {
    return plus(this.#empty[vessel], sumOf(this.#content.get(vessel)?.values() ?? []));
  }

  /** From the lot into the vessel or cup, or out of the jar onto the spoon. A negative amount goes back. */
  pour(draw: PlannedDraw, amount: Mass): void {
    if (draw.way === 'subtract') {
      this.#add('jar', 'stock', minus(ZERO, amount));
      this.#add('spoon', draw.id, amount);
    } else this.#add(draw.on, draw.id, amount);
    this.#taken.set(draw.id, plus(this.#taken.get(draw.id) ?? ZERO, amount));
  }

  /** All that is in one goes into another, but for a residue of each. */
  empty(from: string, into: string, residue: Mass = ZERO): void {
    for (const [draw, amount] of this.#content.get(from) ?? []) {
      const moved = amount > residue ? minus(amount, residue) : ZERO;
      this.#add(from, draw, minus(ZERO, moved));
      this.#add(into, draw, moved);
    }
  }

  put(vessel: VesselId, on: PanId): void {
    for (const pan of Object.values(this.pans)) if (pan.standing === vessel) pan.standing = null;
    this.pans[on].standing = vessel;
  }

  /** What a pan's signal says once it is at rest. */
  rest(scale: PanId): PanEvent {
    const pan = this.pans[scale];
    if (pan.standing === null) {
      pan.zeroKnown = true;
      return panEvent({ kind: 'emptied', scale, at: 0, zero: ZERO });
    }
    const load = this.load(pan.standing);
    return panEvent({ kind: 'settled', scale, at: 0, load, gross: load, zeroKnown: pan.zeroKnown });
  }

  dwell(scale: PanId): PanEvent {
    const settled = this.rest(scale);
    if (settled.type !== 'pan.settled') return settled;
    const { load, gross, zeroKnown } = settled;
    return panEvent({ kind: 'dwelt', scale, at: 0, load, gross, zeroKnown, keyed: false });
  }

  /** Nothing was lost and nothing came from nowhere. */
  isConserved(plan: Plan): boolean {
    return plan.tasks.every((task) => {
      if (task.kind !== 'draw') return true;
      const somewhere = [...this.#content.values()].map((content) => content.get(task.id) ?? ZERO);
      return sumOf(somewhere) === (this.#taken.get(task.id) ?? ZERO);
    });
  }
}
