/** A formula as CSV for a spreadsheet; read back, it gives the same shares. */
import { stringify } from 'csv-stringify/sync';
import { cleanText } from '../facts/cleanText.ts';
import { wholeOf } from '../formula/checkFormula.ts';
import type { Formula, FormulaDraw } from '../formula/model.ts';
import { mass } from '../mass/mass.ts';
import { splitByShares } from '../mass/split.ts';
import type { Workshop } from '../workshop/model.ts';
import { printDecimal } from './formulaText.ts';

const PLACES = 6;
const MILLION = 1_000_000n;

export interface SheetOut {
  /** UTF-8, commas, CRLF, a heading row; cells that a spreadsheet would run carry an apostrophe. */
  readonly csv: string;
  /** True where a share has no end as a decimal number, so that it was rounded at six decimals. */
  readonly rounded: boolean;
}

/** `share / whole * all` in millionths where it comes out even, for every share. */
function inMillionths(shares: readonly number[], whole: number, all: bigint): bigint[] | undefined {
  const exact = shares.map((share) => [BigInt(share) * all * MILLION, BigInt(whole)] as const);
  return exact.every(([n, d]) => n % d === 0n) ? exact.map(([n, d]) => n / d) : undefined;
}

function amountsOf({ whole, parts }: Formula, shares: readonly number[]) {
  const of = wholeOf({ whole });
  const inParts =
    parts === undefined ? undefined : shares.map((share) => [BigInt(share) * BigInt(parts), BigInt(of)] as const);
  if (inParts?.every(([n, d]) => n % d === 0n)) {
    return { heading: 'Parts', numbers: inParts.map(([n, d]) => n / d), rounded: false };
  }
  const percent = inMillionths(shares, of, 100n);
  if (percent) return { heading: 'Percent', numbers: percent, rounded: false };
  return { heading: 'Percent', numbers: splitByShares(mass(100_000_000), shares).map(BigInt), rounded: true };
}

/** One clean line that no spreadsheet takes for a formula, wherever it sees a cell begin. */
function tamed(text: string): string {
  return cleanText(text)
    .trim()
    .replace(/([;,\t]\s*)([=+\-@])/g, "$1'$2");
}

export function formulaCsv(formula: Formula, { ingredients }: Workshop): SheetOut {
  const draws = formula.phases.flatMap((phase) =>
    phase.work.flatMap((item) => (item.kind === 'draw' ? [{ phase, draw: item }] : [])),
  );
  const { heading, numbers, rounded } = amountsOf(
    formula,
    draws.map(({ draw }) => draw.share),
  );
  const rows = draws.map(({ phase, draw }, index) => {
    const { name, inci } = ingredientOf(draw);
    const number = printDecimal({ digits: numbers[index] ?? 0n, scale: PLACES });
    return [`${phase.id} ${phase.name}`, name, inci, number, draw.note ?? ''].map(tamed);
  });
  function ingredientOf({ ingredient }: FormulaDraw) {
    return ingredients.get(ingredient) ?? { name: ingredient, inci: '' };
  }
  const csv = stringify([['Phase', 'Ingredient', 'INCI', heading, 'Note'], ...rows], {
    record_delimiter: '\r\n',
    escape_formulas: true,
  });
  return { csv, rounded };
}
