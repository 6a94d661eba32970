/**
 * Prepacked goods by weight in the EU and the UK: how much a single pack may fall short, and the three rules of whoever
 * packs them.
 *
 * Sources: Council Directive 76/211/EEC, Annex I, 2.4 and 2.5 (the same table in the German FPackV, section 9, and in
 * the UK's SI 2006/659, schedule 5); the three rules: Annex I, 1; "few enough" as 1 in 40: UK guidance for packers.
 */
import { type Mass, mass, minus } from '../mass/mass.ts';

const G = 1_000_000;

/** From, to (grams of nominal quantity), and either percent or grams. The rows join at every boundary. */
const TOLERABLE = [
  { from: 5, to: 50, percent: 9 },
  { from: 50, to: 100, grams: 4.5 },
  { from: 100, to: 200, percent: 4.5 },
  { from: 200, to: 300, grams: 9 },
  { from: 300, to: 500, percent: 3 },
  { from: 500, to: 1000, grams: 15 },
  { from: 1000, to: 10_000, percent: 1.5 },
] as const;

/** Percentages are rounded up to a tenth of a gram (the same, 2.4). */
const TENTH = 100_000;

/**
 * The tolerable negative error of a pack.
 * @param nominal declared net weight
 * @returns undefined below 5 g and above 10 kg, where the table ends
 */
export function tolerableError(nominal: Mass): Mass | undefined {
  const row = TOLERABLE.find(({ from, to }) => nominal >= from * G && nominal <= to * G);
  if (row === undefined) return undefined;
  if ('grams' in row) return mass(row.grams * G);
  // A percentage with one decimal, in whole thousandths: no floating point comes in.
  const exact = BigInt(nominal) * BigInt(Math.round(row.percent * 10));
  const tenths = (exact + BigInt(TENTH) * 1000n - 1n) / (BigInt(TENTH) * 1000n);
  return mass(Number(tenths) * TENTH);
}

/** Of all packs at most so many may be short by more than the tolerable error: UK guidance, 2.5 %. */
export const SHORT_SHARE = 0.025;
/** And so many by more than twice that, which none may be: the share that the guidance takes for none, 1 in 10 000. */
export const NONE_SHARE = 0.0001;

export interface PackersRules {
  readonly tolerable: Mass;
  /** Rule 1: the mean is not below the label. */
  readonly mean: { readonly found: number; readonly least: Mass; readonly holds: boolean };
  /** Rule 2: few enough short by more than the tolerable error. */
  readonly short: { readonly found: number; readonly limit: Mass; readonly most: number; readonly holds: boolean };
  /** Rule 3: none short by more than twice that. */
  readonly twice: { readonly found: number; readonly limit: Mass; readonly holds: boolean };
  readonly holds: boolean;
}

/**
 * The three rules of the packer for a lot of which every pack was weighed.
 * @param nets at least one
 * @returns undefined where the label is outside the table
 */
export function packersRules(nets: readonly Mass[], nominal: Mass): PackersRules | undefined {
  const tolerable = tolerableError(nominal);
  if (tolerable === undefined || nets.length === 0) return undefined;
  const found = Number(nets.reduce((sum, net) => sum + BigInt(net), 0n)) / nets.length;
  const limit = minus(nominal, tolerable);
  const farLimit = minus(limit, tolerable);
  const below = (least: Mass) => nets.filter((net) => net < least).length;
  const mean = { found, least: nominal, holds: sumHolds(nets, nominal) };
  const most = Math.floor(nets.length * SHORT_SHARE);
  const short = { found: below(limit), limit, most, holds: below(limit) <= most };
  const twice = { found: below(farLimit), limit: farLimit, holds: below(farLimit) === 0 };
  return { tolerable, mean, short, twice, holds: mean.holds && short.holds && twice.holds };
}

/** Mean not below a bound, in whole numbers. */
function sumHolds(nets: readonly Mass[], least: Mass): boolean {
  return nets.reduce((sum, net) => sum + BigInt(net), 0n) >= BigInt(least) * BigInt(nets.length);
}
