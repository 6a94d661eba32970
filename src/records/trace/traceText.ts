/** A trace as plain text for a terminal. */
import { cutToWidth, widthOf } from '../../facts/textWidth.ts';
import { wrapText } from '../../plan/wrapText.ts';
import { cleanAll } from '../cleanAll.ts';
import { type LotSheet, lotSheet, type SheetGroup } from './lotSheet.ts';
import type { BatchReport, LotReport } from './report.ts';
import {
  amountInWords,
  barsInWords,
  HEADINGS,
  leftOverInWords,
  papersInWords,
  remarks,
  stateInWords,
} from './traceWords.ts';
import { FATES, type TracedBatch } from './uses.ts';

/** The tables need as much. */
const LEAST_WIDTH = 80;
/** More batches than this stand in one line each. */
const FEW = 8;
/** More lots than this are counted; CSV and JSON have all. */
const MOST_OTHERS = 30;

const pad = (text: string, width: number) => text + ' '.repeat(Math.max(0, width - widthOf(text)));
const padStart = (text: string, width: number) => ' '.repeat(Math.max(0, width - widthOf(text))) + text;
const widest = (texts: readonly string[], most: number) => Math.min(most, Math.max(0, ...texts.map(widthOf)));

/** @param block the command that blocks the lot, as it is typed here @param width columns of the terminal */
export function lotText(report: LotReport, block: string, width = LEAST_WIDTH): string {
  const most = Math.max(width, LEAST_WIDTH);
  const sheet = lotSheet(report, block);
  const { lot, groups, carriers } = sheet;
  const { blocked } = lot.papers;
  const papers = papersInWords(lot.papers);
  const book = sheet.left === null ? 'the workshop has no book of it' : `${sheet.left} left by the book`;
  const lines = [
    ...wrapText(`${lot.name}, lot ${lot.lot}`, '', most),
    ...(papers === '' ? [] : wrapText(papers, '  ', most)),
    ...wrapText(`${sheet.drawn} drawn for batches, ${book}`, '  ', most),
    ...(blocked === null ? [] : wrapText(`BLOCKED: ${blocked}`, '  ', most)),
    ...groups.flatMap((group) => batchLines(group, most)),
    ...(groups.length === 0 ? ['', 'No batch has drawn from it.'] : []),
    ...(carriers.length === 0 ? [] : ['', 'Stocks that hold it, and how much of each it is:']),
    ...carriers.flatMap(({ name, lot: code, madeIn, share }) =>
      wrapText(`${name}, lot ${code}, made in batch ${madeIn}: ${share} of it`, '  ', most),
    ),
    ...section('Can not be followed:', sheet.unlinked, most),
    ...otherLines(sheet, most),
    '',
    'If it must not be used:',
    ...sheet.todo.flatMap((each, at) => wrapText(each, `  ${at + 1}. `, most)),
  ];
  return lines.map((line) => cutToWidth(line, most)).join('\n');
}

function section(title: string, sentences: readonly string[], width: number): string[] {
  return sentences.length === 0 ? [] : ['', title, ...sentences.flatMap((each) => wrapText(each, '  - ', width))];
}

function batchLines({ heading, count, batches }: SheetGroup, width: number): string[] {
  const ids = widest(
    batches.map(({ batch }) => batch),
    24,
  );
  const amounts = widest(
    batches.map(({ amount }) => amount),
    20,
  );
  const filled = (parts: readonly string[], by: string) => parts.filter((part) => part !== '').join(by);
  const lines = batches.flatMap(({ batch, name, version, amount, bars, leftOver, state, day, remarks }) => {
    const lead = `  ${pad(cutToWidth(batch, 24), ids)}  `;
    if (batches.length > FEW) {
      const more = remarks.length > 0 ? ' *' : '';
      return [`${lead}${filled([padStart(amount, amounts), bars, day, name], '  ')}${more}`];
    }
    return [
      ...wrapText(`${name}, version ${version}`, lead, width),
      ...[filled([amount, bars, leftOver, state], '; '), ...remarks].flatMap((line) =>
        wrapText(line, ' '.repeat(widthOf(lead)), width),
      ),
    ];
  });
  const starred = lines.some((line) => line.endsWith(' *'));
  return [
    '',
    `${heading}: ${count}`,
    ...lines,
    ...(starred ? ['  * more is to be said: --json, --csv or --html'] : []),
  ];
}

function correctionsOf({ corrections }: TracedBatch): string[] {
  return corrections.map((each) => `noted afterwards: ${each}`);
}

function otherLines({ others, othersHeading }: LotSheet, width: number): string[] {
  if (others.length === 0) return [];
  const shown = others.slice(0, MOST_OTHERS);
  const names = widest(
    shown.map(({ name }) => name),
    40,
  );
  const lots = widest(
    shown.map(({ lot }) => lot),
    24,
  );
  const lines = shown.map(({ name, lot, count, papers }) => {
    const among = count === '' ? '' : `  in ${count}`;
    const note = papers.blocked === null ? '' : '  BLOCKED';
    return `  ${pad(cutToWidth(name, 40), names)}  ${pad(cutToWidth(lot, 24), lots)}${among}${note}`.trimEnd();
  });
  const more = others.length - shown.length;
  const cut = lines.map((line) => cutToWidth(line, width));
  return ['', `${othersHeading}:`, ...cut, ...(more > 0 ? [`  and ${more} more lots`] : [])];
}

/** @param traceHint the command that traces one of its lots, LOT standing for its code */
export function batchText(report: BatchReport, traceHint: string, width = LEAST_WIDTH): string {
  const clean = cleanAll(report);
  const most = Math.max(width, LEAST_WIDTH);
  const { batch, lots, made, unlinked } = clean;
  const bars = barsInWords(batch);
  const lines = [
    ...wrapText(`Batch ${batch.batch}: ${batch.name}, version ${batch.version}`, '', most),
    ...wrapText(
      [stateInWords(batch), bars, leftOverInWords(batch)].filter((part) => part !== '').join('; '),
      '  ',
      most,
    ),
    ...correctionsOf(batch).flatMap((each) => wrapText(each, '  ', most)),
    ...FATES.flatMap((fate) => lotLines(clean, fate, most)),
    ...(lots.length === 0 ? ['', 'Nothing was drawn for it.'] : []),
    ...section(
      'Made of it:',
      made.map(({ name, lot }) => `${name}, lot ${lot}`),
      most,
    ),
    ...section('Can not be followed:', unlinked.map(mixtureInWords), most),
    '',
    ...wrapText(`Where else is one of these lots? ${traceHint}`, '', most),
  ];
  return lines.map((line) => cutToWidth(line, most)).join('\n');
}

export function mixtureInWords({ name, lot }: { readonly name: string; readonly lot: string }): string {
  return `${name}, lot ${lot}, is a mixture, and the log does not tell of which lots.`;
}

function lotLines({ lots, batch }: BatchReport, fate: BatchReport['lots'][number]['fate'], width: number): string[] {
  const mine = lots.filter((lot) => lot.fate === fate);
  if (mine.length === 0) return [];
  const names = widest(
    mine.map(({ name }) => name),
    34,
  );
  const codes = widest(
    mine.map(({ lot }) => lot),
    24,
  );
  const amounts = widest(mine.map(amountInWords), 16);
  const lines = mine.flatMap((held) => {
    const { name, lot, papers, madeIn } = held;
    const expired = papers.expires !== null && papers.expires < batch.started.slice(0, 10) ? ['EXPIRED before'] : [];
    const notes = [
      ...(madeIn === null ? [] : [`made in batch ${madeIn}`]),
      ...(papers.blocked === null ? [] : [`BLOCKED: ${papers.blocked}`]),
      ...expired,
      ...[papersInWords(papers)].filter((part) => part !== ''),
      ...remarks(held),
    ];
    const lead = `  ${pad(cutToWidth(name, 34), names)}  ${pad(cutToWidth(lot, 24), codes)}  `;
    const first = `${lead}${padStart(amountInWords(held), amounts)}`;
    return [first, ...notes.flatMap((note) => wrapText(note, '      ', width))];
  });
  const count = mine.length === 1 ? '1 lot' : `${mine.length} lots`;
  return ['', `${HEADINGS[fate].lots}: ${count}`, ...lines];
}
