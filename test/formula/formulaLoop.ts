/**
 * Random formulas through the arithmetic alone (no planner): what a hundred thousand of them must hold.
 * `npm run formulas -- 100000` runs the long form; the tests run a short one.
 */
import { pathToFileURL } from 'node:url';
import { type Fraction, fraction, isEqual, NONE, ONE, sumOfFractions } from '../../src/formula/fraction.ts';
import { asWholeNumbers, resolveShares, type WrittenPhase } from '../../src/formula/shares.ts';
import { mass } from '../../src/mass/mass.ts';
import { splitByShares } from '../../src/mass/split.ts';
import { massForBars, sizeBatch } from '../../src/plan/batchSize.ts';
import { seededRandom } from '../../src/simulate/seededRandom.ts';

type Roll = (least: number, most: number) => number;

function must(holds: boolean, what: string, formula: unknown): void {
  if (holds) return;
  const text = JSON.stringify(formula, (_, value) => (typeof value === 'bigint' ? String(value) : value));
  throw new Error(`${what}: ${text}`);
}

/** Whole numbers that add up to `sum`, each at least one. */
function pieces(roll: Roll, count: number, sum: number): number[] {
  const cuts = new Set<number>();
  while (cuts.size < count - 1) cuts.add(roll(1, sum - 1));
  const at = [0, ...[...cuts].sort((a, b) => a - b), sum];
  return at.slice(1).map((each, i) => each - (at[i] ?? 0));
}

function percentPhases(roll: Roll): WrittenPhase[] {
  const own = pieces(roll, roll(1, 6), 1_000_000);
  return own.map((ppm, index): WrittenPhase => {
    const nested = roll(0, 1) === 1;
    const count = Math.min(roll(1, 8), ppm);
    const inner = pieces(roll, count, nested ? 1_000_000 : ppm);
    return {
      path: ['phases', index],
      share: nested ? { kind: 'percent', of: fraction(BigInt(ppm), 1_000_000n) } : undefined,
      draws: inner.map((share) => {
        const written = fraction(BigInt(share), 1_000_000n);
        // Active matter: the material times its strength, so that the sum still comes to 100 %.
        const strength = roll(0, 4) === 0 ? fraction(BigInt(roll(1, 1_000_000)), 1_000_000n) : undefined;
        const of = strength ? fraction(written.n * strength.n, written.d * strength.d) : written;
        return { share: { kind: 'percent' as const, of }, strength, path: [] };
      }),
    };
  });
}

function withRest(roll: Roll, phases: WrittenPhase[]): WrittenPhase[] {
  const open = phases.filter(({ share }) => share === undefined);
  const chosen = open[roll(0, Math.max(open.length - 1, 0))];
  if (!chosen || roll(0, 1) === 0) return phases;
  const at = roll(0, chosen.draws.length - 1);
  const draws = chosen.draws.map((draw, i) =>
    i === at ? { path: draw.path, share: { kind: 'rest' as const } } : draw,
  );
  return phases.map((each) => (each === chosen ? { ...each, draws } : each));
}

function partsPhases(roll: Roll): WrittenPhase[] {
  return Array.from({ length: roll(1, 4) }, (_, index) => ({
    path: ['phases', index],
    share: undefined,
    draws: Array.from({ length: roll(1, 8) }, () => {
      const strength = roll(0, 6) === 0 ? fraction(BigInt(roll(1, 10_000)), 10_000n) : undefined;
      const of = fraction(BigInt(roll(1, 500_000_000)), 10n ** BigInt(roll(0, 6)));
      return { share: { kind: 'parts' as const, of }, strength, path: [] };
    }),
  }));
}

/** Less than so many micrograms off: one, or two where the shares themselves were rounded. */
function isNear(target: number, total: number, share: Fraction, within: bigint): boolean {
  const off = BigInt(target) * share.d - BigInt(total) * share.n;
  return (off < 0n ? -off : off) < share.d * within;
}

/**
 * Throws at the first formula that does not hold.
 * @param runs how many formulas
 */
export function formulaLoop(runs: number, seed: number): { readonly exact: number; readonly rounded: number } {
  const random = seededRandom(seed);
  const roll: Roll = (least, most) => least + Math.floor(random.next() * (most - least + 1));
  const counted = { exact: 0, rounded: 0 };
  for (let run = 0; run < runs; run++) {
    const counting = roll(0, 3) === 0 ? 'parts' : 'percent';
    const phases = counting === 'parts' ? partsPhases(roll) : withRest(roll, percentPhases(roll));
    const resolved = resolveShares(phases, counting);
    if (!resolved.ok) {
      must(false, 'a sound formula is refused', { phases, resolved });
      continue;
    }
    must(isEqual(sumOfFractions(resolved.shares), ONE), 'shares do not add up to one', phases);
    const { shares, whole } = asWholeNumbers(resolved.shares);
    must(shares.reduce((sum, each) => sum + BigInt(each), 0n) === BigInt(whole), 'whole numbers do not add up', phases);
    const exact = shares.every((each, i) => isEqual(fraction(BigInt(each), BigInt(whole)), resolved.shares[i] ?? NONE));
    counted[exact ? 'exact' : 'rounded'] += 1;

    const total = roll(1, 1_000_000) * roll(1, 100_000);
    const targets = splitByShares(mass(total), shares);
    must(targets.reduce((sum, each) => sum + each, 0) === total, 'targets do not add up', { phases, total });
    const near = targets.every((target, i) => isNear(target, total, resolved.shares[i] ?? NONE, exact ? 1n : 2n));
    must(near, 'a target is off by a microgram or more', { phases, total });

    // Twice the batch and back is the batch; and bars give a mass that gives the bars.
    const twice = splitByShares(mass(2 * total), shares);
    must(
      twice.every((each, i) => Math.abs(each - 2 * (targets[i] ?? 0)) <= 2),
      'twice the batch is not twice its targets',
      { phases, total },
    );
    must(
      isEqual(
        fraction(BigInt(splitByShares(mass(whole), shares)[0] ?? 0), BigInt(whole)),
        fraction(BigInt(shares[0] ?? 0), BigInt(whole)),
      ),
      'a batch of as many micrograms as the whole does not give its shares back',
      phases,
    );
    const [bars, bar, loss] = [roll(1, 500), mass(roll(100_000, 500_000_000)), roll(0, 500_000)];
    // Up by bars and down again by the mass that was weighed for them.
    const sized = sizeBatch(
      { bar, lossPpm: loss, bars: undefined, batch: undefined },
      { mass: massForBars(bars, bar, loss) },
    );
    must('bars' in sized && sized.bars === bars, 'bars are lost', { bars, bar, loss });
    // Up by a whole factor and down again: each target of the multiple, divided, is the target to the microgram.
    const times = roll(2, 50);
    const multiple = splitByShares(mass(total * times), shares);
    must(
      multiple.every((each, i) => Math.abs(each / times - (targets[i] ?? 0)) < 1 + 1 / times),
      'up and down does not return',
      { phases, total, times },
    );
  }
  return counted;
}

if (process.argv[1] !== undefined && import.meta.url === pathToFileURL(process.argv[1]).href) {
  const runs = Number(process.argv[2] ?? 100_000);
  const { exact, rounded } = formulaLoop(runs, Number(process.argv[3] ?? 1));
  console.log(`${runs} formulas hold: ${exact} with exact shares, ${rounded} with shares rounded to 10^-15.`);
}
