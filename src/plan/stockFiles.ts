/** A worked-out stock solution as text for the workshop's files: its own formula, the formula that uses it, its entry. */
import { isMap, isScalar, isSeq, parseDocument, type YAMLMap } from 'yaml';
import { printPercent } from '../formula/checkFormula.ts';
import type { FormulaDraw } from '../formula/model.ts';
import { exactGrams } from '../mass/text.ts';
import type { StockPlan } from './planStock.ts';

const quoted = (text: string) => JSON.stringify(text);

function bandOf({ tolerance: { under } }: FormulaDraw): string {
  return 'ppm' in under ? printPercent(under.ppm) : `${exactGrams(under.mass)} g`;
}

/** The formula of the stock itself. @param goodForDays days that it may be used, the day of its making included */
export function makingText({ making, stock }: StockPlan, goodForDays: number): string {
  const [phase] = making.phases;
  const lines = [
    '# A stock solution: made once, then weighed out of by lot. The carrier goes in first.',
    `name: ${quoted(making.name)}`,
    `version: ${making.version}`,
    `batch: ${exactGrams(making.batch ?? (0 as never))} g`,
    'phases:',
    `  - phase: ${phase?.id ?? 'A'}`,
    `    name: ${phase?.name ?? ''}`,
    `    vessel: ${phase?.vessel ?? ''}`,
    '    work:',
  ];
  for (const item of phase?.work ?? []) {
    if (item.kind === 'step') {
      lines.push(`      - ${item.step}: ${quoted(item.say)}`);
      continue;
    }
    lines.push(
      `      - draw: ${item.ingredient}`,
      `        share: ${printPercent(item.share)}`,
      `        band: ${bandOf(item)}`,
      `        over: ${item.over}`,
      ...(item.way === undefined ? [] : [`        way: ${item.way}`]),
    );
  }
  const days = goodForDays === 1 ? 'the day it is made' : `${goodForDays} days, the day of making included`;
  lines.push(
    'cautions:',
    `  - ${quoted(`Good for ${days}. Enter it as a lot of ${stock.id} with that last day: no batch uses it after.`)}`,
    `  - ${quoted('Stocks in water spoil unless they are preserved: throw away what smells, clouds or grows.')}`,
  );
  return `${lines.join('\n')}\n`;
}

/** A changed text; or why it is better changed by hand, completing "it ...". */
export type Changed = { readonly ok: true; readonly text: string } | { readonly ok: false; readonly why: string };

const byHand = (why: string): Changed => ({ ok: false, why });
const UNUSUAL = 'is written in an unusual way';

/**
 * The text of a formula with the stock in place of the ingredient; comments and all else stay. Only shares that are percent
 * of the batch are changed. Read it back before it is kept.
 */
export function usingText(text: string, { ingredient, carrier, stock, using, dilution }: StockPlan): Changed {
  const document = parseDocument(text);
  const phases = document.get('phases');
  if (!isSeq(phases)) return byHand(UNUSUAL);
  if (document.get('shares') === 'parts') return byHand('counts in parts');
  if (phases.items.some((phase) => isMap(phase) && phase.has('share'))) return byHand('gives shares of a phase');
  const draws = using.phases.flatMap(({ work }) => work.filter((item) => item.kind === 'draw'));
  const instead = draws.find((draw) => draw.ingredient === stock.id);
  const carried = draws.filter((draw) => draw.ingredient === carrier.id);
  if (!instead) return byHand(UNUSUAL);
  const found = phases.items.flatMap((phase) => (isMap(phase) ? worksOf(phase) : []));
  // The carriers' draws that are left are in the same order; none was left out unless all went.
  let next = 0;
  for (const item of found) {
    if (item.has('active')) return byHand('gives a share of active matter');
    const name = item.get('draw');
    if (name === ingredient.id) {
      item.set('draw', stock.id);
      item.set('share', printPercent(instead.share));
      item.set('band', bandOf(instead));
      for (const key of ['way', 'scale', 'cup']) item.delete(key);
    } else if (name === carrier.id) {
      const draw = carried[next];
      if (!draw) return byHand(`would have a draw of ${carrier.id} without anything left for it`);
      next += 1;
      if (item.get('share') !== 'rest') item.set('share', printPercent(draw.share));
    }
  }
  document.set('name', `${using.name}, from ${100 / dilution} % stock`);
  return next === carried.length ? { ok: true, text: document.toString({ lineWidth: 0 }) } : byHand(UNUSUAL);
}

/** The draws of a phase as the file has them. */
function worksOf(phase: YAMLMap): YAMLMap[] {
  const work = phase.get('work');
  return isSeq(work) ? work.items.filter((item): item is YAMLMap => isMap(item) && item.has('draw')) : [];
}

/**
 * The text of `workshop.yaml` with the stock among its ingredients; every other character stays.
 * @returns undefined where it is written in a way that is better changed by hand. Read it back before it is kept.
 */
export function workshopText(text: string, { stock, ingredient, carrier, dilution }: StockPlan): string | undefined {
  const node = parseDocument(text).get('ingredients', true);
  const first = isMap(node) && node.flow !== true ? node.items[0]?.key : undefined;
  const from = isScalar(first) ? first.range?.[0] : undefined;
  if (from === undefined) return undefined;
  const start = text.lastIndexOf('\n', from - 1) + 1;
  const indent = text.slice(start, from);
  if (!/^ +$/.test(indent)) return undefined;
  const ppm = 1_000_000 / dilution;
  const lines = [
    `${indent}${stock.id}:`,
    ...[
      `name: ${quoted(stock.name)}`,
      `inci: ${quoted(stock.inci)}`,
      ...(stock.density === undefined ? [] : [`density: ${stock.density} g/ml # of ${carrier.name}`]),
      ...(stock.role === undefined ? [] : [`role: ${stock.role}`]),
      'made of:',
      `  - { of: ${ingredient.id}, share: ${printPercent(ppm)} }`,
      `  - { of: ${carrier.id}, share: ${printPercent(1_000_000 - ppm)} }`,
      ...(stock.hazards ? [`hazards: [${stock.hazards.join(', ')}]`] : []),
      'cautions:',
      ...stock.cautions.map((caution) => `  - ${quoted(caution)}`),
    ].map((line) => `${indent}${indent}${line}`),
  ];
  const newLine = text.includes('\r\n') ? '\r\n' : '\n';
  return text.slice(0, start) + lines.map((line) => line + newLine).join('') + text.slice(start);
}
