/** What is carried from one task of a plan to the next, and what is worked out from it. */
import type { Formula } from '../formula/model.ts';
import type { Mass } from '../mass/mass.ts';
import type { Scale, Vessel, Workshop } from '../workshop/model.ts';
import type { ToPlace } from './candidate.ts';
import type { Chosen } from './chooseWay.ts';
import { type Contents, contentOf } from './contents.ts';
import type { PlannedScale, PlannedVessel, Refusal, Task } from './model.ts';
import { refuseOverflow } from './refusing.ts';

import { vesselById } from './several.ts';

/** What is carried from one task to the next. */
export interface Walk {
  readonly workshop: Workshop;
  readonly formula: Formula;
  readonly batch: Mass;
  readonly today: string;
  readonly cups: readonly Vessel[];
  contents: Contents;
  /** What earlier draws have taken, by ingredient and lot. */
  readonly taken: Map<string, Mass>;
  /** The first task that overfills a vessel, and how full that gets by the end. */
  readonly overfull: Map<string, { readonly first: string; readonly ml: number }>;
  readonly tasks: Task[];
  readonly notes: string[];
  readonly refusals: Refusal[];
  readonly scales: Record<string, PlannedScale>;
  readonly vessels: Record<string, PlannedVessel>;
  /** Where wanted: every candidate of every draw. */
  readonly considered?: Considered[];
}

/** What was considered for one draw. */
export interface Considered {
  readonly id: string;
  readonly name: string;
  readonly target: Mass;
  readonly to: ToPlace;
  readonly chosen: Chosen;
}

export function rememberVessel(walk: Walk, { id, name, tare }: Vessel): void {
  walk.vessels[id] = { id, name, tare };
}

export function rememberScale(walk: Walk, { id, capacity, d, repeatability, port }: Scale): void {
  walk.scales[id] = { id, capacity, d, repeatability: repeatability ?? null, keyed: port === undefined };
}

/** Remembers when a vessel would overflow; it is said once a vessel, with the fullest it gets. */
export function watchFilling(walk: Walk, vessel: string, task: string): void {
  const { ml } = contentOf(walk.contents, vessel);
  const usable = vesselById(walk.workshop.vessels, vessel)?.usableMl;
  const known = walk.overfull.get(vessel);
  if (usable === undefined || ml <= Math.max(usable, known?.ml ?? 0)) return;
  walk.overfull.set(vessel, { first: known?.first ?? task, ml });
}

export function refuseOverfull(walk: Walk): void {
  for (const [id, { first, ml }] of walk.overfull) {
    const vessel = vesselById(walk.workshop.vessels, id);
    if (vessel?.usableMl === undefined) continue;
    walk.refusals.push(refuseOverflow(first, vessel, ml, vessel.usableMl, walk.batch, walk.formula));
  }
}
