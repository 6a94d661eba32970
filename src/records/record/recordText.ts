/** The record as plain text for a terminal: what was weighed, what went otherwise, and where it ends. The page has all. */
import { cutToWidth, widthOf } from '../../facts/textWidth.ts';
import { printMass } from '../../mass/text.ts';
import { wrapText } from '../../plan/wrapText.ts';
import { costInWords, hasPrices } from '../../stock/cost.ts';
import { cleanAll } from '../cleanAll.ts';
import type { BatchRecord } from './batchRecord.ts';
import { againSentences, barNotes, barSentences, barsUntil } from './recordBars.ts';
import { benchSentences } from './recordBenches.ts';
import { costOfRecord } from './recordCost.ts';
import { decimalsOfScale, type RecordDraw } from './recordDraws.ts';
import { checkInWords } from './recordScales.ts';
import { notesOf } from './recordSentences.ts';
import { toldAsTooMuch, tooMuchIn } from './recordTooMuch.ts';
import { clock, finestDecimals, plainGrams, plannedGrams, spelled } from './recordWords.ts';

/** The table of weighings needs as much. */
const LEAST_WIDTH = 80;

/**
 * The record as lines of text.
 * @param width columns of the terminal; no line is longer, down to 80
 */
export function recordText(record: BatchRecord, width = LEAST_WIDTH): string {
  const clean = cleanAll(record);
  const most = Math.max(width, LEAST_WIDTH);
  const { givenUp, seal } = clean;
  const over = tooMuchIn(clean).map(({ say }) => say);
  const told = toldAsTooMuch(clean);
  const others = clean.deviations.filter((say) => !told.has(say));
  const scales = clean.scales.map(
    ({ id, checks }) => `${id}: ${checks.map(checkInWords).join('; later ') || 'not checked'}`,
  );
  const benches = benchSentences(clean);
  const lines = [
    ...headOf(clean).flatMap((line) => wrapText(line, '', most)),
    ...(over.length > 0 ? section('Too much, and what was done about it:', over, most) : []),
    ...section(
      over.length > 0 ? 'What else went otherwise than planned:' : 'Otherwise than planned:',
      others.length > 0 ? others : ['Nothing.'],
      most,
    ),
    ...weighings(clean, most),
    ...(givenUp.length === 0 ? [] : ['', 'Weighed, and not in the batch:', ...drawLines(givenUp, clean, most)]),
    ...barLines(clean, most),
    ...(clean.measured.length === 0
      ? []
      : section(
          'Measured:',
          clean.measured.map(({ say, at, by }) => `${say}, ${by}, ${spelled(at)}`),
          most,
        )),
    ...(benches.length === 0 ? [] : section('Benches:', benches, most)),
    ...section('Scales:', scales, most),
    '',
    `As known on ${spelled(clean.lastAt)}. Last fact of this batch and its hash:`,
    `  ${seal.seq}:${seal.hash}`,
  ];
  return lines.map((line) => cutToWidth(line, most)).join('\n');
}

function headOf(record: BatchRecord): string[] {
  const { plan, totals, status, started, ended } = record;
  const decimals = finestDecimals(plan);
  const until = barsUntil(record);
  const bars = plan.bars !== null && plan.bar !== null ? ` for ${plan.bars} bars of ${plainGrams(plan.bar)} g` : '';
  return [
    `${plan.formula.name}, version ${plan.formula.version}`,
    `Batch ${record.batch}, ${status}, by ${record.operators.join(', ')}`,
    `Started ${spelled(started)}${ended === null ? ', still open' : `, ${status} ${spelled(ended)}`}${until === undefined ? '' : `; ${until}`}`,
    `Planned ${plannedGrams(plan.mass)} g${bars}`,
    `In the batch ${printMass(totals.bowl, { decimals })} g, against the plan for these draws ${printMass(totals.difference, { decimals, plus: true })} g`,
    ...(totals.stuck > 0
      ? [`Of that ${printMass(totals.stuck, { decimals })} g stuck to vessels that were emptied`]
      : []),
    `Left the lots ${printMass(totals.taken, { decimals })} g, ${printMass(totals.waste, { decimals })} g of it waste`,
    ...costLine(record),
  ];
}

function costLine(record: BatchRecord): string[] {
  const cost = costOfRecord(record);
  return hasPrices(cost) ? [costInWords(cost)] : [];
}

function section(title: string, lines: readonly string[], width: number): string[] {
  return ['', title, ...lines.flatMap((line) => wrapText(line, '  - ', width))];
}

/** Phase by phase, in the order of weighing. */
function weighings(record: BatchRecord, width: number): string[] {
  if (record.draws.length === 0) return ['', 'Nothing has been weighed yet.'];
  const phases = [...new Set(record.draws.map(({ phase }) => phase))];
  const lines = phases.flatMap((id) => {
    const phase = record.plan.phases.find((each) => each.id === id);
    const into = phase ? `  ${phase.name}, into ${record.plan.vessels[phase.vessel]?.name ?? phase.vessel}` : '';
    return [
      `${id}${into}`,
      ...drawLines(
        record.draws.filter((draw) => draw.phase === id),
        record,
        width,
      ),
    ];
  });
  return ['', 'Weighed, in grams (± expanded, k = 2), lot and time:', ...lines];
}

/** The bars, as many to a line as fit; what is to be said of one stands beneath. */
function barLines({ bars, plan }: BatchRecord, width: number): string[] {
  if (bars === null) return [];
  const cells = bars.bars.map(({ bar, net, scale, verdict, pulled }) => {
    const mark = pulled !== null ? 'x' : verdict === 'in' ? ' ' : '!';
    return `${String(bar).padStart(4)}${mark}${printMass(net, { decimals: decimalsOfScale(plan, scale) }).padStart(7)}`;
  });
  const perLine = Math.max(1, Math.floor((width - 2) / Math.max(1, ...cells.map((cell) => cell.length + 1))));
  const rows = cells.flatMap((_, index) =>
    index % perLine === 0 ? [`  ${cells.slice(index, index + perLine).join(' ')}`] : [],
  );
  const noted = bars.bars.flatMap((bar) => {
    const notes = barNotes(bar).join('; ');
    return notes === '' ? [] : [`Bar ${bar.bar}: ${notes}`];
  });
  const said = [...noted, ...againSentences(bars, plan)];
  return [
    ...section('Bars:', barSentences(bars, plan), width),
    ...rows,
    ...said.flatMap((line) => wrapText(line, '  - ', width)),
  ];
}

function drawLines(draws: readonly RecordDraw[], record: BatchRecord, width: number): string[] {
  return draws.flatMap((draw) => {
    const { decimals } = draw;
    const sure = printMass(draw.uncertainty, { decimals: decimals + 1, rounding: 'up' });
    const weighed = `${printMass(draw.net, { decimals }).padStart(8)} ±${sure.padEnd(6)}`;
    const end = ` of ${plannedGrams(draw.target).padStart(8)}  ${padEnd(draw.lot, 9)} ${clock(draw.at, record)}`;
    const start = `  ${padEnd(draw.draw, 4)} `;
    const name = padEnd(draw.name, width - widthOf(start + weighed + end) - 1);
    const notes = notesOf(draw, record).join('; ');
    return [`${start}${name} ${weighed}${end}`, ...(notes === '' ? [] : wrapText(notes, ' '.repeat(7), width))];
  });
}

function padEnd(text: string, width: number): string {
  const cut = cutToWidth(text, width);
  return cut + ' '.repeat(Math.max(width - widthOf(cut), 0));
}
