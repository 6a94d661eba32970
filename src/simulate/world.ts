/**
 * The simulated workshop: pans, vessels, lots, and the truth about where every microgram is. Tests compare what the
 * program recorded with `truth()`.
 */
import { type Mass, plus, ZERO } from '../mass/mass.ts';
import { createHolder, type Holder } from './holder.ts';
import { createPan, type Pan } from './pan.ts';

export interface WorldLot {
  readonly id: string;
  readonly ingredient: string;
  readonly onHand: Mass;
  /** The vessel that holds the lot, where it is weighed by subtraction; its content is then in that vessel. */
  readonly jar?: string | undefined;
}

export interface WorldInput {
  readonly pans: readonly string[];
  readonly vessels: readonly { readonly id: string; readonly tare: Mass }[];
  readonly lots: readonly WorldLot[];
}

export interface World {
  /** @throws RangeError when there is none of that name; likewise `vessel` and `lot` */
  pan(id: string): Pan;
  vessel(id: string): Holder;
  /** What holds the lot: its jar, or a bag of its own that never stands on a pan. */
  lot(id: string): Holder;
  /** What the hand carries. */
  readonly spoon: Holder;
  /** What was thrown away or spilt. */
  readonly bin: Holder;
  /** The pan that a vessel stands on. */
  panUnder(vessel: Holder): Pan | undefined;
  /** True mass by vessel and ingredient; holders with nothing in them are left out. Spoon and bin are `spoon` and `bin`. */
  truth(): ReadonlyMap<string, ReadonlyMap<string, Mass>>;
  /** True mass of one ingredient in one vessel. */
  trueMass(vessel: string, ingredient: string): Mass;
}

export function createWorld({ pans, vessels, lots }: WorldInput): World {
  const panById = new Map(pans.map((id) => [id, createPan(id)]));
  const vesselById = new Map(vessels.map(({ id, tare }) => [id, createHolder(id, tare)]));
  const holderOfLot = new Map<string, Holder>();
  const ingredientOf = new Map(lots.map((lot) => [lot.id, lot.ingredient]));
  for (const lot of lots) {
    const holder = lot.jar === undefined ? createHolder(lot.id) : get(vesselById, lot.jar, 'vessel');
    if (lot.onHand > 0) holder.contents.set(lot.id, lot.onHand);
    holderOfLot.set(lot.id, holder);
  }
  const spoon = createHolder('spoon');
  const bin = createHolder('bin');

  const byIngredient = (holder: Holder): Map<string, Mass> => {
    const sums = new Map<string, Mass>();
    for (const [lot, amount] of holder.contents) {
      const ingredient = ingredientOf.get(lot) ?? lot;
      sums.set(ingredient, plus(sums.get(ingredient) ?? ZERO, amount));
    }
    return sums;
  };

  return {
    pan: (id) => get(panById, id, 'pan'),
    vessel: (id) => get(vesselById, id, 'vessel'),
    lot: (id) => get(holderOfLot, id, 'lot'),
    spoon,
    bin,
    panUnder: (vessel) => [...panById.values()].find((pan) => pan.standing.has(vessel)),
    truth: () =>
      new Map(
        [...vesselById.values(), spoon, bin]
          .filter((holder) => holder.contents.size > 0)
          .map((holder) => [holder.id, byIngredient(holder)]),
      ),
    trueMass: (vessel, ingredient) => byIngredient(get(vesselById, vessel, 'vessel')).get(ingredient) ?? ZERO,
  };
}

function get<T>(from: ReadonlyMap<string, T>, id: string, what: string): T {
  const found = from.get(id);
  if (found === undefined) throw new RangeError(`the simulated workshop has no ${what} "${id}"`);
  return found;
}
