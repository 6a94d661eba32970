/** One formula written in many shapes: what comes back is that formula, or a question whose answer gives it. Never another. */
import { expect, it } from 'vitest';
import { fileText } from '../../src/bring/fileText.ts';
import type { Answers, Understood } from '../../src/bring/model.ts';
import { readTable } from '../../src/bring/readTable.ts';
import { understand } from '../../src/bring/understand.ts';
import { fraction, isEqual } from '../../src/formula/fraction.ts';
import { seededRandom } from '../../src/simulate/seededRandom.ts';

type Roll = (least: number, most: number) => number;

interface Shape {
  readonly delimiter: string;
  readonly decimal: 'point' | 'comma';
  readonly grouped: boolean;
  readonly counting: 'percent' | 'g' | 'kg' | 'bare';
  readonly unitIn: 'heading' | 'cells';
  readonly phases: 'column' | 'headings' | 'none';
  readonly total: boolean;
  readonly bom: boolean;
  readonly title: boolean;
  readonly nameFirst: boolean;
}

interface Line {
  readonly name: string;
  readonly phase: string;
  /** The value is `digits / 10^scale`. */
  readonly digits: number;
  readonly scale: number;
}

const pick = <T>(roll: Roll, from: readonly [T, ...T[]]): T => from[roll(0, from.length - 1)] ?? from[0];

function shapeOf(roll: Roll): Shape {
  return {
    delimiter: pick(roll, [',', ';', '\t']),
    decimal: pick(roll, ['point', 'comma']),
    grouped: roll(0, 1) === 1,
    counting: pick(roll, ['percent', 'g', 'kg', 'bare']),
    unitIn: pick(roll, ['heading', 'cells']),
    phases: pick(roll, ['column', 'headings', 'none']),
    total: roll(0, 1) === 1,
    bom: roll(0, 1) === 1,
    title: roll(0, 3) === 0,
    nameFirst: roll(0, 1) === 1,
  };
}

function linesOf(roll: Roll, { counting }: Shape): Line[] {
  const count = roll(2, 9);
  const scale = roll(0, 4);
  const most = counting === 'percent' ? 100 * 10 ** scale : 0;
  let left = most;
  return Array.from({ length: count }, (_, i) => {
    const digits =
      counting !== 'percent'
        ? roll(1, 3_000 * 10 ** scale)
        : i === count - 1
          ? left
          : roll(1, Math.max(1, Math.floor(left / 2)));
    left -= digits;
    return {
      name: `Stuff ${String.fromCharCode(97 + i)}`,
      phase: 'ABC'[Math.floor((i * 3) / count)] ?? 'A',
      digits,
      scale,
    };
  });
}

function written({ digits, scale }: Pick<Line, 'digits' | 'scale'>, { decimal, grouped }: Shape): string {
  const text = String(digits).padStart(scale + 1, '0');
  const whole = scale === 0 ? text : text.slice(0, -scale);
  const [point, group] = decimal === 'point' ? ['.', ','] : [',', '.'];
  const head = grouped ? whole.replace(/\B(?=(\d{3})+$)/g, group) : whole;
  return scale === 0 ? head : `${head}${point}${text.slice(-scale)}`;
}

function sheet(roll: Roll, shape: Shape, lines: readonly Line[]): string {
  const { delimiter, counting, unitIn, phases, nameFirst } = shape;
  const unit = counting === 'bare' ? '' : counting === 'percent' ? '%' : counting;
  const inHeading = unitIn === 'heading' && unit !== '';
  const heading = inHeading
    ? counting === 'percent'
      ? pick(roll, ['%', 'Percent', 'Share (%)', '% w/w'])
      : pick(roll, [`Amount (${unit})`, `Weight in ${unit}`, unit])
    : pick(roll, ['Amount', 'Qty', 'Quantity']);
  const cell = (text: string) => (text.includes(delimiter) || roll(0, 5) === 0 ? `"${text}"` : text);
  const row = (name: string, number: string, phase: string) => {
    const pair = nameFirst ? [name, number] : [number, name];
    return (phases === 'column' ? [phase, ...pair] : pair).map(cell).join(delimiter);
  };
  const number = (of: Pick<Line, 'digits' | 'scale'>) =>
    `${written(of, shape)}${!inHeading && unit !== '' ? ` ${unit}` : ''}`;
  const out = shape.title ? [`My formula${delimiter}`, delimiter] : [];
  out.push(row(pick(roll, ['Ingredient', 'Material', 'Name']), heading, 'Phase'));
  let last = '';
  for (const line of lines) {
    if (phases === 'headings' && line.phase !== last) out.push(`Phase ${line.phase}${delimiter}`);
    last = line.phase;
    out.push(row(line.name, number(line), line.phase));
  }
  if (shape.total) {
    out.push(
      row(
        'Total',
        number({ digits: lines.reduce((sum, { digits }) => sum + digits, 0), scale: lines[0]?.scale ?? 0 }),
        '',
      ),
    );
  }
  return `${shape.bom ? '\ufeff' : ''}${out.join(pick(roll, ['\n', '\r\n']))}\n`;
}

function brought(text: string, answers: Answers): Understood {
  const read = fileText(new TextEncoder().encode(text));
  const table = read.ok ? readTable(read.text) : read;
  return table.ok ? understand(table.rows, answers) : { kind: 'faults', faults: [table.why] };
}

/** Ratios are what a formula is: percent that were meant as grams that add up to 100 give the same batch. */
function isSame(found: Understood, lines: readonly Line[], shape: Shape): boolean {
  if (found.kind !== 'draft' || found.draft.lines.length !== lines.length) return false;
  const inGrams = found.draft.amounts === 'g' && shape.counting === 'kg' ? 1000n : 1n;
  return found.draft.lines.every(({ name, phase, amount }, i) => {
    const line = lines[i];
    if (line === undefined || amount === 'rest') return false;
    const wanted = fraction(BigInt(line.digits) * inGrams, 10n ** BigInt(line.scale));
    const isPhase = shape.phases === 'none' || phase === line.phase;
    return name === line.name && isPhase && isEqual(fraction(amount.digits, 10n ** BigInt(amount.scale)), wanted);
  });
}

it('whatever the shape, the formula or the right question', () => {
  const random = seededRandom(21);
  const roll: Roll = (least, most) => least + Math.floor(random.next() * (most - least + 1));
  const counted = { told: 0, asked: 0 };
  for (let run = 0; run < 3_000; run++) {
    const shape = shapeOf(roll);
    const lines = linesOf(roll, shape);
    if (lines.some(({ digits }) => digits === 0)) continue;
    const text = sheet(roll, shape, lines);
    let found = brought(text, {});
    const shown = () =>
      `run ${run}\n${JSON.stringify(shape)}\n${text}\n${JSON.stringify(found, (_, v) => (typeof v === 'bigint' ? String(v) : v))}`;
    if (found.kind === 'draft') counted.told += 1;
    else {
      counted.asked += 1;
      if (found.kind !== 'questions') expect.fail(shown());
      // Only what can't be told is asked: a mark that may be either, and numbers that nothing says the unit of.
      for (const { option } of found.questions) {
        const open =
          option === '--decimal' ? lines[0]?.scale === 3 || lines[0]?.scale === 0 : shape.counting === 'bare';
        if (!open) expect.fail(shown());
      }
      found = brought(text, { decimal: shape.decimal, amounts: 'g' });
    }
    if (!isSame(found, lines, shape)) expect.fail(shown());
  }
  expect(counted.told).toBeGreaterThan(1_500);
  expect(counted.asked).toBeGreaterThan(300);
});
