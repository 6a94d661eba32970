/** What would help where a draw can't be weighed: its parts, and how they are said. */
import type { Formula } from '../formula/model.ts';
import type { Mass } from '../mass/mass.ts';
import { batchOf, grams, percentOf } from './inWords.ts';

export interface Fix {
  /** A batch of so much or more, or of so much at most; an estimate until it was tried. */
  readonly size?: { readonly bound: 'least' | 'most'; readonly mass: Mass } | undefined;
  /** A band of so much either way; as a share of the target too, where the formula gives it as one. */
  readonly band?: { readonly half: Mass; readonly share: number | null } | undefined;
  /** What else helps, phrases. */
  readonly others: readonly string[];
  /** The vessel that is too small or too heavy, by its id: another may be tried in its place. */
  readonly vessel?: string | undefined;
  /** The scale that all this is for. */
  readonly on?: string | undefined;
  /** Said where nothing else helps. */
  readonly last?: string | undefined;
}

/** The fix as a sentence; null where nothing helps. */
export function sayFix({ size, band, others, on, last }: Fix, formula: Formula): string | null {
  const ways = [
    ...(size
      ? [`a batch of ${size.bound === 'most' ? 'at most ' : ''}${batchOf(size.mass, size.bound, formula)}`]
      : []),
    ...(band ? [bandInWords(band)] : []),
    ...others,
  ];
  if (ways.length === 0 && last !== undefined) ways.push(last);
  if (ways.length === 0) return null;
  const text = `${ways.join(', or ')}${on === undefined ? '' : ` on the ${on} scale`}`;
  return `${text.charAt(0).toUpperCase()}${text.slice(1)}.`;
}

function bandInWords({ half, share }: NonNullable<Fix['band']>): string {
  return `a band of ${share === null ? grams(half) : `${percentOf(share)} (${grams(half)})`} either way`;
}
