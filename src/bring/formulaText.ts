/** A draft as the text of a formula file. */
import { cutToWidth } from '../facts/textWidth.ts';
import { divideRounded } from '../mass/rounding.ts';
import type { Decimal } from '../mass/text.ts';
import { yamlText } from './ingredientSkeleton.ts';
import type { Amount, Draft } from './model.ts';

/** What a sheet never tells, and the maker does. */
export interface Meant {
  readonly name: string;
  /** Vessel of each phase, by its id. */
  readonly vessels: ReadonlyMap<string, string>;
  /** How far each weight may be off, such as `2 %`. */
  readonly band: string;
  /** Ids of ingredients, by the draft's names. */
  readonly ids: ReadonlyMap<string, string>;
}

/** Decimals that a formula file takes. */
const PLACES = { percent: 4, parts: 6 } as const;

function places({ digits, scale }: Decimal): number {
  let [rest, left] = [digits, scale];
  while (left > 0 && rest % 10n === 0n) [rest, left] = [rest / 10n, left - 1];
  return left;
}

/** A decimal without needless zeros; past six decimals rounded. */
export function printDecimal({ digits, scale }: Decimal): string {
  const kept = Math.min(scale, PLACES.parts);
  const whole = divideRounded(digits, 10n ** BigInt(scale - kept), 'half-even');
  const text = (whole < 0n ? -whole : whole).toString().padStart(kept + 1, '0');
  const number = kept === 0 ? text : `${text.slice(0, -kept)}.${text.slice(-kept)}`.replace(/\.?0+$/, '');
  return whole < 0n ? `-${number}` : number;
}

/** Shares finer than percent in a formula file can say are written as parts; but not where one fills up to 100. */
export function countsAsParts({ amounts, lines }: Draft): boolean {
  if (amounts !== 'percent') return true;
  const finest = Math.max(...lines.map(({ amount }) => (amount === 'rest' ? 0 : places(amount))));
  return finest > PLACES.percent && lines.every(({ amount }) => amount !== 'rest');
}

function sum(draft: Draft): Decimal {
  const scale = Math.max(...draft.lines.map(({ amount }) => (amount === 'rest' ? 0 : amount.scale)));
  const digits = draft.lines.reduce(
    (all, { amount }) => all + (amount === 'rest' ? 0n : amount.digits * 10n ** BigInt(scale - amount.scale)),
    0n,
  );
  return { digits, scale };
}

export function formulaText(draft: Draft, { name, vessels, band, ids }: Meant): string {
  const parts = countsAsParts(draft);
  const share = (amount: Amount) => (amount === 'rest' ? 'rest' : `${printDecimal(amount)}${parts ? '' : ' %'}`);
  const lines = [`name: ${yamlText(name)}`, 'version: 1'];
  if (draft.amounts === 'g') lines.push(`batch: ${printDecimal(sum(draft))} g`);
  if (parts) lines.push(`shares: parts${draft.amounts === 'g' ? ' # grams of a usual batch' : ''}`);
  lines.push('phases:');
  for (const phase of draft.phases) {
    lines.push(
      `  - phase: ${phase.id}`,
      `    name: ${yamlText(phase.name)}`,
      `    vessel: ${vessels.get(phase.id) ?? ''}`,
      '    work:',
    );
    for (const each of draft.lines.filter((line) => line.phase === phase.id)) {
      lines.push(
        `      - draw: ${ids.get(each.name) ?? ''}`,
        `        share: ${share(each.amount)}`,
        `        band: ${band}`,
        ...(each.note === undefined ? [] : [`        note: ${yamlText(cutToWidth(each.note, 240))}`]),
      );
    }
  }
  return `${lines.join('\n')}\n`;
}
