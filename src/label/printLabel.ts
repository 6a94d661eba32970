/** A label's sheet as text for a terminal. */
import { cutToWidth, widthOf } from '../facts/textWidth.ts';
import { printPercent } from '../formula/checkFormula.ts';
import { printMass } from '../mass/text.ts';
import { wrapText } from '../plan/wrapText.ts';
import type { Group, Row } from './ingredientList.ts';
import type { LabelSheet } from './labelSheet.ts';
import type { Level } from './levels.ts';

const LEAST_WIDTH = 60;

const HEADS: Readonly<Record<Group, string | undefined>> = {
  main: undefined,
  small: 'below 1 %, in any order after those above',
  allergen: 'fragrance allergens; their weight is in their oils already',
  colour: 'colours, in any order after all others',
};

function printRow({ name, ppm, from }: Row, width: number): string {
  const share = ppm === 0 ? '<0.0001' : (ppm / 10_000).toFixed(4);
  const line = `  ${share.padStart(8)}  ${name}`;
  const room = width - widthOf(line) - 2;
  const sources = from.length > 1 ? `from ${from.join('; ')}` : '';
  return sources === '' || room < 16 ? cutToWidth(line, width) : `${line}  ${cutToWidth(sources, room)}`;
}

function printLevel({ names, ppm, mostPpm, dryingPpm, why, over }: Level): string {
  const dried = dryingPpm > 0 ? ' of the dried bar' : '';
  const most = `at most ${printPercent(mostPpm)} (${why})`;
  return `${over ? 'TOO MUCH: ' : ''}${names.join(' and ')}: ${printPercent(ppm)}${dried}, ${most}`;
}

/** @param width columns; no line is longer, down to 60 */
export function printLabel(sheet: LabelSheet, width = 80): string {
  const most = Math.max(width, LEAST_WIDTH);
  const { formula, batch, mass, EU, US, net, levels, notes } = sheet;
  const basis =
    batch === null || mass === null
      ? 'By the formula, with every target hit. A batch that was weighed has its own list.'
      : `Batch ${batch}, by the weights really used: ${printMass(mass, { decimals: 2 })} g.`;
  const lines = [
    ...wrapText(`For the label of ${formula.name}, version ${formula.version}`, '', most),
    ...wrapText(basis, '', most),
    '',
    '  as added %',
  ];
  let group: Group = 'main';
  for (const row of EU.rows) {
    const head = HEADS[row.group];
    if (row.group !== group && head !== undefined) lines.push(cutToWidth(`  ${head}:`, most));
    group = row.group;
    lines.push(printRow(row, most));
  }
  lines.push('', ...wrapText(EU.text, 'EU  ', most), '', ...wrapText(US.text, 'US  ', most));
  if (net) {
    const unneeded = net.neededInEU ? '' : ' (not asked for below 5 g)';
    lines.push('', ...wrapText(`${net.EU}${unneeded}`, 'Net contents, EU  ', most));
    lines.push(...wrapText(net.US, 'Net contents, US  ', most));
  }
  if (levels.length > 0) {
    lines.push('', "The formula's limits:", ...levels.flatMap((level) => wrapText(printLevel(level), '  - ', most)));
  }
  return [...lines, '', 'Know:', ...notes.flatMap((note) => wrapText(note, '  - ', most))].join('\n');
}
