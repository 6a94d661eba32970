/** A plan as a table for people, in whatever width the terminal has. */
import { cutToWidth, widthOf } from '../facts/textWidth.ts';
import { printPercent } from '../formula/checkFormula.ts';
import { decimalsOf, printMass } from '../mass/text.ts';
import { printTime } from '../workshop/quantities.ts';
import { grams, wantedInWords } from './inWords.ts';
import type { Plan, PlannedDraw, PlannedStep, Refusal } from './model.ts';
import { wrapText } from './wrapText.ts';

/** A table of all the figures needs as much. */
const LEAST_WIDTH = 80;
/** From this width on there is room to say why each scale and way was chosen. */
const WIDTH_FOR_WHY = 120;

function padEnd(text: string, width: number): string {
  const cut = cutToWidth(text, width);
  return cut + ' '.repeat(Math.max(width - widthOf(cut), 0));
}

/** The columns of one draw, before they are lined up. */
interface Row {
  readonly id: string;
  readonly name: string;
  readonly target: string;
  readonly low: string;
  readonly high: string;
  readonly scale: string;
  readonly way: string;
  readonly lot: string;
  readonly why: string;
}

function rowOf(draw: PlannedDraw, { scales, vessels }: Plan): Row {
  const d = scales[draw.scale]?.d;
  const decimals = d === undefined ? 3 : decimalsOf(d);
  const on = draw.way === 'add' ? '' : `${vessels[draw.on]?.name ?? draw.on}; `;
  return {
    id: draw.id,
    name: draw.name,
    target: printMass(draw.target, { decimals: 3 }),
    low: printMass(draw.low, { decimals }),
    high: printMass(draw.high, { decimals }),
    scale: cutToWidth(draw.scale, 8),
    way: draw.way,
    lot: cutToWidth(draw.lot, 12),
    why: on + draw.why,
  };
}

type Widths = Readonly<Record<keyof Row, number>>;

function widthsOf(rows: readonly Row[], width: number): Widths {
  const widest = (key: keyof Row, head: string) => Math.max(head.length, ...rows.map((row) => widthOf(row[key])));
  const fixed = {
    id: widest('id', ''),
    target: widest('target', 'target g'),
    low: widest('low', ''),
    high: widest('high', ''),
    scale: widest('scale', 'scale'),
    way: widest('way', 'way'),
    lot: widest('lot', 'lot'),
  };
  // Two blanks before and between the columns, ` - ` within the band, one blank between scale and way.
  const taken = Object.values(fixed).reduce((sum, each) => sum + each, 0) + 2 + 2 * 5 + 3 + 1;
  const wide = width >= WIDTH_FOR_WHY;
  const name = Math.max(Math.min(widest('name', 'ingredient'), width - taken), 8);
  return { ...fixed, name, why: wide ? Math.max(width - taken - name - 2, 0) : 0 };
}

function printRow(row: Row, widths: Widths): string {
  const cells = [
    padEnd(row.id, widths.id),
    padEnd(row.name, widths.name),
    row.target.padStart(widths.target),
    `${row.low.padStart(widths.low)} - ${row.high.padStart(widths.high)}`,
    `${padEnd(row.scale, widths.scale)} ${padEnd(row.way, widths.way)}`,
    padEnd(row.lot, widths.lot),
    ...(widths.why > 0 ? [cutToWidth(row.why, widths.why)] : []),
  ];
  return `  ${cells.join('  ')}`.trimEnd();
}

function printHead(widths: Widths): string {
  const cells = [
    ' '.repeat(widths.id),
    padEnd('ingredient', widths.name),
    'target g'.padStart(widths.target),
    padEnd('accepted g', widths.low + 3 + widths.high),
    `${padEnd('scale', widths.scale)} ${padEnd('way', widths.way)}`,
    padEnd('lot', widths.lot),
    ...(widths.why > 0 ? ['why'] : []),
  ];
  return `  ${cells.join('  ')}`.trimEnd();
}

/** A step as one sentence: what, how long, how often, until when. */
export function printStep({ step, say, forMs, times, until, measure }: PlannedStep): string {
  const how = [
    ...(forMs === null ? [] : [printTime(forMs)]),
    ...(times === null ? [] : [`at most ${times} times`]),
    ...(until === null ? [] : [`until ${until}`]),
    ...(measure === undefined ? [] : [`measure ${wantedInWords(measure)}`]),
  ];
  return `${step}: ${say}${how.length === 0 ? '' : ` (${how.join(', ')})`}`;
}

function printSize({ bars, bar, lossPpm, mass }: Plan): string {
  const loss = lossPpm === 0 ? '' : `, ${printPercent(lossPpm)} loss`;
  if (bars === null || bar === null) return `${grams(mass)} in all${loss}`;
  return `${bars} bars of ${grams(bar, 1)}${loss}: ${grams(mass)} in all`;
}

function section(title: string, lines: readonly string[], width: number): string[] {
  if (lines.length === 0) return [];
  return ['', title, ...lines.flatMap((line) => wrapText(line, '  - ', width))];
}

/**
 * A plan as text: each phase with its draws and steps in the order of work, then what to have at hand, what to know.
 * @param width columns of the terminal; no line is longer, down to 80
 */
export function printPlan(plan: Plan, width = 80): string {
  const most = Math.max(width, LEAST_WIDTH);
  const rows = new Map(plan.tasks.flatMap((task) => (task.kind === 'draw' ? [[task.id, rowOf(task, plan)]] : [])));
  const widths = widthsOf([...rows.values()], most);
  const lines = [
    ...wrapText(`${plan.formula.name}, version ${plan.formula.version}`, '', most),
    ...wrapText(printSize(plan), '', most),
    '',
    printHead(widths),
  ];
  for (const phase of plan.phases) {
    const vessel = plan.vessels[phase.vessel]?.name ?? phase.vessel;
    lines.push(cutToWidth(`${phase.id}  ${phase.name}, into ${vessel}: ${grams(phase.mass)}`, most));
    for (const task of plan.tasks) {
      if (task.phase !== phase.id) continue;
      const row = rows.get(task.id);
      if (task.kind === 'draw' && row) lines.push(printRow(row, widths));
      if (task.kind === 'step') lines.push(...wrapText(printStep(task), '     > ', most));
    }
  }
  const vessels = Object.values(plan.vessels).map(({ name, tare }) => `${name}: ${grams(tare, 2)} empty`);
  lines.push(
    ...section('Have at hand:', vessels, most),
    ...section('Know before you start:', plan.notes, most),
    ...section('Take care:', plan.cautions, most),
  );
  return lines.join('\n');
}

/**
 * Refusals as text, each with the nearest thing that works.
 * @param nearest the size at which nothing is refused, in words
 */
export function printRefusals(
  { name }: { readonly name: string },
  refusals: readonly Refusal[],
  width = 80,
  nearest?: string,
): string {
  const most = Math.max(width, LEAST_WIDTH);
  const head = `${name} can't be weighed like this. Nothing was weighed and nothing recorded.`;
  const lines = wrapText(head, '', most);
  for (const { where, why, instead } of refusals) {
    lines.push('', ...wrapText(why, padEnd(`  ${where ?? ''}`, 8), most));
    if (instead !== null) lines.push(...wrapText(`What works: ${instead}`, ' '.repeat(8), most));
  }
  if (nearest !== undefined)
    lines.push('', ...wrapText(`All of it together works with a batch of ${nearest}.`, '', most));
  return lines.join('\n');
}
