/**
 * From shares as a maker writes them to shares of the whole batch: percent of the batch, percent of a phase, parts,
 * active matter, and one ingredient that takes the rest. All of it in exact fractions.
 */
import { divideRounded } from '../mass/rounding.ts';
import { type Fault, WHOLE } from './checkFormula.ts';
import {
  dividedBy,
  type Fraction,
  fraction,
  isEqual,
  leastMultiple,
  lessBy,
  NONE,
  ONE,
  sumOfFractions,
  times,
} from './fraction.ts';

/** A share as it is written: percent of the batch or of its phase, a number of parts, or what is left to 100 %. */
export type WrittenShare =
  | { readonly kind: 'percent'; readonly of: Fraction }
  | { readonly kind: 'parts'; readonly of: Fraction }
  | { readonly kind: 'rest' };

export interface WrittenDraw {
  readonly share: WrittenShare;
  /** Set where the share is one of active matter: how much of the trade material that is. */
  readonly strength?: Fraction | undefined;
  /** Where it stands in the formula. */
  readonly path: PropertyKey[];
}

export interface WrittenPhase {
  /** The phase's own share of the batch; then those of its draws are shares of the phase. */
  readonly share: WrittenShare | undefined;
  readonly draws: readonly WrittenDraw[];
  readonly path: PropertyKey[];
}

/** How a formula counts its shares. */
export type Counting = 'percent' | 'parts';

/** Shares of all draws in order as fractions of the batch, which add up to one; or what is wrong. */
export type Resolved =
  | { readonly ok: true; readonly shares: readonly Fraction[]; readonly parts: Fraction | undefined }
  | { readonly ok: false; readonly faults: readonly Fault[] };

/** A fraction of the batch as percent, without needless zeros, to six decimals: `12.5 %`. */
export function printShare(share: Fraction): string {
  const digits = divideRounded(share.n * 100_000_000n, share.d, 'half-even');
  const text = (digits < 0n ? -digits : digits).toString().padStart(7, '0');
  return `${digits < 0n ? '-' : ''}${`${text.slice(0, -6)}.${text.slice(-6)}`.replace(/\.?0+$/, '')} %`;
}

/** What is given of the trade material. A share of active matter is divided by the material's strength. */
function material({ share, strength }: Pick<WrittenDraw, 'share' | 'strength'>): Fraction | undefined {
  if (share.kind === 'rest') return undefined;
  return strength === undefined ? share.of : dividedBy(share.of, strength);
}

interface Member {
  readonly given: Fraction | undefined;
  readonly path: PropertyKey[];
}

/** Members of one group that must come to 100 %; the one without a share takes what is left. */
function toHundred(members: readonly Member[], path: PropertyKey[], what: string): Fraction[] | Fault[] {
  const open = members.filter(({ given }) => given === undefined);
  const sum = sumOfFractions(members.flatMap(({ given }) => given ?? []));
  const left = lessBy(ONE, sum);
  const [, second] = open;
  if (second !== undefined) return [{ path: second.path, expected: 'one `rest` only: two can not be told apart' }];
  if (open.length === 1 && left.n <= 0n) {
    const hint = `the others add up to ${printShare(sum)}`;
    return [{ path: open[0]?.path ?? path, expected: 'something left for `rest`', hint }];
  }
  if (open.length === 0 && left.n !== 0n) {
    const off = left.n < 0n ? lessBy(NONE, left) : left;
    const hint = `they add up to ${printShare(sum)}: ${printShare(off)} too ${left.n < 0n ? 'much' : 'little'}`;
    return [{ path, expected: `${what} that add up to 100 %`, hint }];
  }
  return members.map(({ given }) => given ?? left);
}

function isFaults(list: Fraction[] | Fault[]): list is Fault[] {
  const [first] = list;
  return first !== undefined && 'expected' in first;
}

function resolvePercent(phases: readonly WrittenPhase[]): Resolved {
  const faults: Fault[] = [];
  const members = phases.flatMap(({ share, draws, path }): Member[] => {
    if (share !== undefined) return [{ given: material({ share }), path: [...path, 'share'] }];
    return draws.map((draw) => ({ given: material(draw), path: draw.path }));
  });
  const outer = toHundred(members, ['phases'], 'shares');
  if (isFaults(outer)) faults.push(...outer);
  let done = 0;
  const shares = phases.flatMap(({ share, draws, path }): Fraction[] => {
    if (share === undefined) {
      done += draws.length;
      return isFaults(outer) ? [] : outer.slice(done - draws.length, done);
    }
    const own = isFaults(outer) ? ONE : (outer[done] ?? ONE);
    done += 1;
    const given = draws.map((draw): Member => ({ given: material(draw), path: draw.path }));
    const inner = toHundred(given, path, 'shares of the phase');
    if (!isFaults(inner)) return inner.map((each) => times(each, own));
    faults.push(...inner);
    return [];
  });
  return faults.length > 0 ? { ok: false, faults } : { ok: true, shares, parts: undefined };
}

function resolveParts(phases: readonly WrittenPhase[]): Resolved {
  const given = phases.flatMap(({ draws }) => draws.map((draw) => material(draw) ?? NONE));
  const parts = sumOfFractions(given);
  if (parts.n <= 0n) return { ok: false, faults: [] };
  return { ok: true, shares: given.map((each) => dividedBy(each, parts)), parts };
}

/** Each share must be of the kind that the formula counts in. */
function checkKinds(phases: readonly WrittenPhase[], counting: Counting): Fault[] {
  return phases.flatMap(({ share, draws, path }): Fault[] => {
    const faults: Fault[] = [];
    if (share !== undefined && counting === 'parts') {
      faults.push({ path: [...path, 'share'], expected: 'no share of a phase where shares are parts' });
    }
    for (const { share: written, path: at } of draws) {
      if (counting === 'percent' && written.kind === 'parts') {
        const hint = 'for parts, write `shares: parts` at the top';
        faults.push({ path: at, expected: 'a share such as `5 %`, or `rest`', hint });
      } else if (counting === 'parts' && written.kind !== 'parts') {
        const hint = 'the formula says `shares: parts`';
        faults.push({ path: at, expected: 'parts such as `3.5`, without a sign', hint });
      }
    }
    return faults;
  });
}

/**
 * The shares of all draws in order, as exact fractions of the batch that add up to one.
 * Where shares are percent, those of the batch (and those of each phase that has a share of its own) must come to
 * exactly 100 %, or leave something for one `rest`. Parts may add up to anything above zero.
 */
export function resolveShares(phases: readonly WrittenPhase[], counting: Counting): Resolved {
  const faults = checkKinds(phases, counting);
  if (faults.length > 0) return { ok: false, faults };
  return counting === 'parts' ? resolveParts(phases) : resolvePercent(phases);
}

/** Finer than any mass: of the largest batch that a file may name (100 t) it is a tenth of a microgram. */
const FINEST = 1_000_000_000_000_000n;

/**
 * Fractions that add up to one as whole numbers that add up to `whole`: exactly, where a common denominator below 2^53
 * can be found; else rounded to the finest by largest remainder, each less than 10^-15 of the batch off.
 * Parts per million wherever these are enough.
 */
export function asWholeNumbers(shares: readonly Fraction[]): { readonly shares: number[]; readonly whole: number } {
  if (!isEqual(sumOfFractions(shares), ONE)) throw new RangeError('shares must add up to one');
  let common = BigInt(WHOLE);
  for (const { d } of shares) {
    common = leastMultiple(common, d);
    if (common > BigInt(Number.MAX_SAFE_INTEGER)) return rounded(shares);
  }
  return { shares: shares.map(({ n, d }) => Number((n * common) / d)), whole: Number(common) };
}

function rounded(shares: readonly Fraction[]): { shares: number[]; whole: number } {
  const pieces = shares.map(({ n, d }, index) => {
    const floor = (n * FINEST) / d;
    return { index, floor, rest: fraction(n * FINEST - floor * d, d) };
  });
  let left = FINEST - pieces.reduce((sum, { floor }) => sum + floor, 0n);
  const result = pieces.map(({ floor }) => floor);
  const byRest = [...pieces].sort((a, b) => {
    const more = lessBy(b.rest, a.rest).n;
    return more === 0n ? a.index - b.index : more < 0n ? -1 : 1;
  });
  for (const { index } of byRest) {
    if (left === 0n) break;
    result[index] = (result[index] ?? 0n) + 1n;
    left -= 1n;
  }
  return { shares: result.map(Number), whole: Number(FINEST) };
}
