/** A scale-up, or why there is none, as a sentence with its numbers. */
import type { Mass } from '../mass/mass.ts';
import { decimalsOf, printMass } from '../mass/text.ts';
import type { Plan, Refusal } from '../plan/model.ts';
import type { Meant, Offer, TopUp } from './model.ts';

const COUNTS = [
  'no',
  'one',
  'two',
  'three',
  'four',
  'five',
  'six',
  'seven',
  'eight',
  'nine',
  'ten',
  'eleven',
  'twelve',
];

/** Numbers up to twelve as words. */
export function counted(of: number): string {
  return COUNTS[of] ?? `${of}`;
}

/** The factor to four decimals, rounded up: `1.0784`. */
export function factorOf(size: Mass, was: Mass): string {
  return printMass(Math.ceil((size / was) * 1_000_000) as Mass, { decimals: 4, rounding: 'up' });
}

/** `26 bars instead of 24`, or `1.0784 times the batch, 2001.1 g instead of 1855.7 g`. */
export function sizeInWords({ wholeBars, bars, mass, from }: Omit<Offer, 'say'>): string {
  if (wholeBars) return `${bars} bars instead of ${from.bars}`;
  return `${factorOf(mass, from.mass)} times the batch, ${printMass(mass, { decimals: 1 })} g instead of ${printMass(from.mass, { decimals: 1 })} g`;
}

export function meantInWords(meant: Meant): string {
  return meant === 'exact' ? 'every ingredient in its exact share' : 'every ingredient within its band';
}

function amountOf({ amount, scale }: TopUp, { scales }: Plan): string {
  const d = scales[scale]?.d;
  return `${printMass(amount, { decimals: d === undefined ? 3 : decimalsOf(d) })} g`;
}

/** One top-up: `1.3 g more of Shea butter, lot SH-45B (bench, add)`. */
export function topUpInWords(topUp: TopUp, plan: Plan): string {
  const { name, lot, scale, way } = topUp;
  return `${amountOf(topUp, plan)} more of ${name}, lot ${lot} (${scale}, ${way})`;
}

/** `Scale up: 26 bars instead of 24 (every ingredient within its band). Top up six ingredients: ...` */
export function saidOffer(offer: Omit<Offer, 'say'>): string {
  const { meant, topUps, raised, extra, plan } = offer;
  const many = new Set(topUps.map(({ ingredient }) => ingredient)).size;
  const largest = [...topUps].sort((a, b) => b.amount - a.amount)[0];
  const parts = [`${printMass(extra, { decimals: 1 })} g more in all`];
  if (largest) {
    parts.unshift(`top up ${counted(many)} ${many === 1 ? 'ingredient' : 'ingredients'}`);
    parts.push(`${many === 1 ? '' : 'the most: '}${amountOf(largest, plan)} more of lot ${largest.lot}`);
  } else {
    parts.unshift('nothing to top up');
  }
  if (raised.length > 0) parts.push(`new targets for ${counted(raised.length)}`);
  return `Scale up: ${sizeInWords(offer)} (${meantInWords(meant)}); ${parts.join(', ')}.`;
}

/** `No scale-up with every ingredient in its exact share: ...` */
export function saidRefusal(meant: Meant, was: Mass, size: Mass | null, reasons: readonly Refusal[]): string {
  const whys = reasons.map(({ why }) => why).join(' ');
  if (size === null) return `No scale-up, because: ${whys}`;
  return `No scale-up with ${meantInWords(meant)} (at least ${factorOf(size, was)} times the batch), because: ${whys}`;
}
