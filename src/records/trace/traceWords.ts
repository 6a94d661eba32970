/** Lots and batches of a trace in words, for the terminal and for paper alike. */
import { type Mass, ZERO } from '../../mass/mass.ts';
import { printMass } from '../../mass/text.ts';
import type { Held, HeldIn } from './flow.ts';
import type { LotPapers, LotReport, NamedLot } from './report.ts';
import type { Doubtful, Fate, TracedBatch, Use } from './uses.ts';

/** Grams with at least one decimal and at most three, which no scale here goes beyond. */
export function grams(of: Mass): string {
  return `${printMass(of, { decimals: 3 }).replace(/0{1,2}$/, '')} g`;
}

const WHY: Readonly<Record<Doubtful, string>> = {
  'not tipped': 'weighed into its cup, and no tipping was recorded',
  'taken back': 'its weight was accepted and taken back; whether it came out again was not recorded',
  'too much': 'too much was in, and what was done about it was not recorded',
  begun: 'the draw was begun, and no weight was accepted',
  'weighed again': 'weighed, then weighed once more, and nothing says that the first came out',
};

/** How each group of batches is headed; `column` is what a page of its table is known by that begins without the heading. */
export const HEADINGS: Readonly<Record<Fate, Readonly<Record<'batches' | 'lots' | 'column', string>>>> = {
  in: { batches: 'It is in', lots: 'In it', column: 'In batch' },
  may: { batches: 'It may be in', lots: 'May be in it', column: 'May be in batch' },
  'to-come': { batches: 'Open, and still to take it', lots: 'Still to come in', column: 'Not yet in batch' },
  'given-up': {
    batches: 'Drawn for, and given up with its vessel',
    lots: 'Drawn, and given up with its vessel',
    column: 'Given up, for batch',
  },
  'thrown-away': {
    batches: 'Drawn for, and thrown away',
    lots: 'Drawn, and thrown away',
    column: 'Thrown away, for batch',
  },
};

/** How much of it: `74.5 g`, `up to 4.2 g`, `0.8 g thrown away`. */
export function amountInWords(held: Held): string {
  const { fate, inside, unweighed } = held;
  if (fate === 'to-come') return 'not yet';
  if (fate === 'given-up' || fate === 'thrown-away') return held.taken > ZERO ? grams(held.taken) : '-';
  if (fate === 'in') return unweighed ? `${grams(inside)} or more` : grams(inside);
  if (inside === ZERO && unweighed) return 'not known';
  return unweighed ? `${grams(inside)} or more` : `up to ${grams(inside)}`;
}

/** What has to be known of one batch's (or lot's) amount, in sentences without their point. */
export function remarks(held: Held): string[] {
  const uses = [...held.direct, ...held.through];
  const doubts = uses.flatMap(({ doubtful, draw, fate }) =>
    fate === 'may' && doubtful !== null ? [`draw ${draw}: ${WHY[doubtful]}`] : [],
  );
  const gone = held.direct.flatMap((use) => (held.fate === 'in' || held.fate === 'may' ? inTheBin(use) : []));
  const shifted = uses.flatMap(({ doubt, draw, fate }) =>
    doubt !== null && fate === 'in' ? [`draw ${draw} may be off by ${grams(doubt)}: the zero of its scale moved`] : [],
  );
  const by = [...new Set(held.through.map(({ name, lot }) => `${name}, lot ${lot}`))];
  return [...(by.length > 0 ? [`through ${by.join(' and ')}`] : []), ...doubts, ...gone, ...shifted];
}

function inTheBin({ fate, taken, draw }: Use): string[] {
  if (fate === 'thrown-away') return [`${grams(taken)} more of draw ${draw} was thrown away`];
  return fate === 'given-up' ? [`${grams(taken)} more of draw ${draw} was given up with its vessel`] : [];
}

/** `24 bars`, `23 bars and 1 beside the lot`, `24 bars planned`. */
export function barsInWords({ bars, barsMade, barsBeside }: TracedBatch): string {
  if (barsMade === null) return bars === null ? '' : `${bars} bars planned`;
  const beside = barsBeside === 0 ? '' : `, ${barsBeside} more short or taken out`;
  return `${barsMade} bars${beside}`;
}

/** `left over: offcut 73.4 g, crumbs 50.6 g`; empty where nothing was weighed as such. */
export function leftOverInWords({ leftOver }: TracedBatch): string {
  if (leftOver.length === 0) return '';
  return `left over: ${leftOver.map(({ what, net }) => `${what} ${grams(net)}`).join(', ')}`;
}

/** `finished 2026-11-25 11:42`, with a blank in it that no line breaks at. */
export function stateInWords({ status, ended, started }: TracedBatch): string {
  const minute = (at: string) => at.slice(0, 16).replace('T', '\u00a0');
  return ended === null ? `open since ${minute(started)}` : `${status} ${minute(ended)}`;
}

/** What its papers say. */
export function papersInWords({ supplierLot, certificate, expires }: LotPapers): string {
  const parts = [
    ...(supplierLot === null ? [] : [`supplier's lot ${supplierLot}`]),
    ...(certificate === null ? [] : [`certificate ${certificate}`]),
    ...(expires === null ? [] : [`good until ${expires}`]),
  ];
  return parts.join('; ');
}

export function unlinkedInWords({ name, lot }: NamedLot, of: string): string {
  return `${name}, lot ${lot}, is made of ${of}, and the log does not tell of which lots: look it up by hand, and trace it too.`;
}

/** `9 batches, 81 bars`; bars that were counted, short ones and those taken out too. */
export function countInWords(batches: readonly HeldIn[]): string {
  const count = batches.length === 1 ? '1 batch' : `${batches.length} batches`;
  const counted = batches.filter(({ batch }) => batch.barsMade !== null);
  const bars = counted.reduce((sum, { batch }) => sum + (batch.barsMade ?? 0) + batch.barsBeside, 0);
  if (counted.length === 0) return count;
  const isMore = batches.some(({ batch }) => batch.bars !== null && batch.barsMade === null);
  return `${count}, ${bars} bars${isMore ? ' counted so far' : ''}`;
}

/** Those of one fate. */
export function heldIn(batches: readonly HeldIn[], fate: Fate): HeldIn[] {
  return batches.filter((held) => held.fate === fate);
}

/** What to do about a lot that must not be used, in the order of doing it. @param block the command, as it is typed here */
export function whatToDo({ lot, batches, carriers, unlinked }: LotReport, block: string): string[] {
  const any = (fate: Fate) => heldIn(batches, fate).length > 0;
  const { blocked, left } = lot.papers;
  return [
    blocked === null
      ? `Block the lot, so that no batch takes more of it: ${block}`
      : `The lot is blocked already (${blocked}): no new batch takes of it.`,
    ...(any('to-come') ? ['Stop the open batches that are still to take it.'] : []),
    ...(left === null || left > 0 ? ['Set its jar aside, closed and marked "do not use".'] : []),
    ...(carriers.length > 0 ? ['Do the same with each stock that holds it, and block its lot too.'] : []),
    ...(any('in') || any('may')
      ? [
          'Set aside all bars, offcuts, crumbs and mix of these batches that are still here, marked "do not sell", and count them.',
        ]
      : []),
    ...(any('may') ? ['Take a batch that may hold it for one that does, until you know better.'] : []),
    ...(unlinked.length > 0 ? ['Look up by hand what could not be followed.'] : []),
    ...(any('in') || any('may') ? ['From your sales, list who got bars of these batches, by batch number.'] : []),
    'Who must be told, how and by when (buyers, shops, the supplier, authorities) is a matter of your local rules and of how serious it is: ask a qualified person before you decide that nobody must.',
  ];
}
