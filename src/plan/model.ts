/**
 * A planned batch: every draw with its vessel, scale, way and band. A plan is plain data (JSON and back), because it
 * is stored whole in the first fact of a batch: what happens later to the workshop's files does not change it.
 */
import type { Measure, NetDeclared, Over, StepKind, Use, Way } from '../formula/model.ts';
import type { Mass } from '../mass/mass.ts';
import type { Composition } from '../workshop/model.ts';
import type { Fix } from './fix.ts';

export interface PlannedScale {
  readonly id: string;
  readonly capacity: Mass;
  readonly d: Mass;
  readonly repeatability: Mass | null;
  /** True for a scale without a port: the maker types what it shows. */
  readonly keyed: boolean;
  /** The role of the bench that it stands at, where that is another one; its id is then `dye_room/fine`. */
  readonly bench?: string | undefined;
}

export interface PlannedVessel {
  readonly id: string;
  readonly name: string;
  /** Its usual empty weight. For a stock jar: of the jar without content. */
  readonly tare: Mass;
}

/** What is known of a lot that the batch may be drawn from. */
export interface PlannedLot {
  /** Plain decimal text in the workshop's money. */
  readonly pricePerKg?: string | undefined;
  /** The code on the supplier's label, where the workshop's own differs. */
  readonly supplierLot?: string | undefined;
  /** Last day of use, `YYYY-MM-DD`. */
  readonly expires?: string | undefined;
}

/** What was stated of an ingredient when the batch was begun, for its label. */
export interface PlannedMaterial extends Composition {
  readonly name: string;
  readonly inci: string;
  /** Active matter, parts per million. */
  readonly active?: number | undefined;
  /** Lots that state their own. */
  readonly lots?: Readonly<Record<string, Composition>> | undefined;
}

export interface PlannedDraw {
  readonly kind: 'draw';
  /** Unique in the plan: `A1`, `B6`, `D1.2` (second lot of D1). */
  readonly id: string;
  readonly phase: string;
  readonly ingredient: string;
  readonly name: string;
  readonly inci: string;
  /** The vessel that the ingredient ends up in. */
  readonly vessel: string;
  readonly way: Way;
  readonly scale: string;
  /** The vessel that stands on the pan: `vessel` itself (add), the cup (cup), the stock jar (subtract). */
  readonly on: string;
  readonly lot: string;
  /** What the lot should hold before the draw, from the book. */
  readonly lotOnHand: Mass;
  readonly target: Mass;
  /** The band: lowest and highest net weight accepted without a decision. Multiples of the scale's *d*. */
  readonly low: Mass;
  readonly high: Mass;
  readonly over: Over;
  /** Expanded uncertainty (k = 2) that this draw's net weight will have. */
  readonly uncertainty: Mass;
  /** How far the band was moved in on each side because the uncertainty is not small against it; else 0. */
  readonly guard: Mass;
  /**
   * Set when one ingredient is drawn in parts from several lots. All parts of a `group` share one target and band;
   * a part that is not `last` has the lot's own content as its target and may end early (the lot is empty), and
   * the last part's target and band are what the earlier parts left.
   */
  readonly part: {
    readonly group: string;
    readonly index: number;
    readonly of: number;
    readonly target: Mass;
    readonly low: Mass;
    readonly high: Mass;
  } | null;
  /** Lots in date that this batch does not need, for when the planned one ends early. */
  readonly otherLots?: readonly { readonly id: string; readonly onHand: Mass }[] | undefined;
  /** A second person has to look at the weight before it counts. */
  readonly witness?: boolean | undefined;
  /** One line: why this scale and this way. */
  readonly why: string;
  readonly cautions: readonly string[];
  readonly note: string | null;
}

export interface PlannedStep {
  readonly kind: 'step';
  readonly id: string;
  readonly phase: string;
  readonly step: StepKind;
  readonly say: string;
  readonly vessel: string | null;
  readonly into: string | null;
  /** Double entry: the jar of this draw's lot is weighed, before or after it. */
  readonly jar?: { readonly draw: string; readonly when: 'before' | 'after' } | undefined;
  readonly forMs: number | null;
  readonly times: number | null;
  readonly until: string | null;
  /** What is to be measured here, and what is wanted. */
  readonly measure?: Measure | undefined;
  readonly cautions: readonly string[];
}

export type Task = PlannedDraw | PlannedStep;

/** What a formula says for the label, as a plan keeps it. */
export interface PlannedLabel {
  readonly net?: NetDeclared | undefined;
  readonly use?: Use | undefined;
  /** Loss in drying, parts per million of the weight as weighed. */
  readonly dryingPpm?: number | undefined;
}

export interface Plan {
  readonly formula: { readonly id: string; readonly name: string; readonly version: string };
  /** Whole bars, 1 or more; null for a craft without bars, and for less than one. */
  readonly bars: number | null;
  readonly bar: Mass | null;
  readonly lossPpm: number;
  /** The whole batch as weighed; the targets add up to it exactly. */
  readonly mass: Mass;
  readonly phases: readonly {
    readonly id: string;
    readonly name: string;
    readonly vessel: string;
    readonly mass: Mass;
  }[];
  /** Draws and steps in the order of work. */
  readonly tasks: readonly Task[];
  readonly scales: Readonly<Record<string, PlannedScale>>;
  readonly vessels: Readonly<Record<string, PlannedVessel>>;
  /** Things the maker should know that do not stop the batch (a lot near its end, an unknown density). */
  readonly notes: readonly string[];
  readonly cautions: readonly string[];
  /** Who may be a witness: the workshop's people. */
  readonly people?: readonly string[] | undefined;
  /** By ingredient and lot; absent in an older log. */
  readonly lots?: Readonly<Record<string, Readonly<Record<string, PlannedLot>>>> | undefined;
  /** By ingredient, with all that they are made of; absent in an older log. */
  readonly materials?: Readonly<Record<string, PlannedMaterial>> | undefined;
  /** What the formula said for the label when it was planned, as far as it said anything; absent in an older log. */
  readonly label?: PlannedLabel | undefined;
  /** The workshop's money, as it is printed. */
  readonly currency?: string | undefined;
}

/** Why a batch can't be planned: one entry per draw or fault. */
export interface Refusal {
  /** Draw id or ingredient; null when it concerns the whole batch. */
  readonly where: string | null;
  /** What is wrong, a sentence. */
  readonly why: string;
  /** The nearest thing that works, a sentence. */
  readonly instead: string | null;
  /** Set where only load and room stand in the way, so that more of it would only make it worse. */
  readonly worseWithMore?: true;
  /** What would help, by an estimate, while a plan is being made. */
  readonly fix?: Fix | undefined;
  /** The vessel that overflows, where that is what is wrong. */
  readonly overfull?: string | undefined;
}

export type PlanResult =
  | { readonly ok: true; readonly plan: Plan }
  | {
      readonly ok: false;
      readonly refusals: readonly Refusal[];
      /** The nearest size at which nothing at all is refused, where the size is what is wrong. */
      readonly nearest?: { readonly bound: 'least' | 'most'; readonly mass: Mass } | undefined;
    };

/** The scales of a plan that stand at the bench itself, not at one that has joined in. */
export function ownScales({ scales }: Pick<Plan, 'scales'>): Readonly<Record<string, PlannedScale>> {
  return Object.fromEntries(Object.entries(scales).filter(([, { bench }]) => bench === undefined));
}
