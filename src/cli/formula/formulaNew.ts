/** `bismar formula new`: a form on the terminal, in plain lines. Nothing is written before its end. */
import type { Readable } from 'node:stream';
import { cellNumber, decimalOf, typedDigits } from '../../bring/cellNumber.ts';
import { formulaText, printDecimal } from '../../bring/formulaText.ts';
import { matchIngredients } from '../../bring/match.ts';
import type { Amount, Amounts, Draft, DraftLine, DraftPhase } from '../../bring/model.ts';
import { added, type Fraction, fraction, lessBy, NONE } from '../../formula/fraction.ts';
import { printShare } from '../../formula/shares.ts';
import { toMicrograms } from '../../mass/units.ts';
import type { Workshop } from '../../workshop/model.ts';
import { EXIT, type ExitCode } from '../exit.ts';
import { loadWorkshop } from '../folder.ts';
import { hint } from '../weigh/hint.ts';
import { FormLeft, type FormTalk, openForm } from './formTalk.ts';
import { newFormulaFile, writeFormula } from './formulaFile.ts';

export interface FormWorld {
  readonly input: Readable;
  readonly print: (line: string) => void;
}

const TERMINAL: FormWorld = { input: process.stdin, print: (line) => void process.stdout.write(`${line}\n`) };
const MOST_PHASES = 26;

interface Form {
  readonly talk: FormTalk;
  readonly workshop: Workshop;
  readonly amounts: Amounts;
}

/** Asks until an answer can be used. @param read undefined for an answer that can't, which is then said */
async function until<T>(talk: FormTalk, ask: string, read: (line: string) => T | undefined, no: string): Promise<T> {
  for (;;) {
    const value = read(await talk.ask(ask));
    if (value !== undefined) return value;
    talk.say(no);
  }
}

function readAmount(line: string, amounts: Amounts): Amount | undefined {
  if (line === 'rest') return amounts === 'percent' ? 'rest' : undefined;
  const number = cellNumber(line);
  const digits = number && typedDigits(number.digits);
  const decimal = digits === undefined ? undefined : decimalOf(digits, 'point');
  if (!decimal || decimal.digits <= 0n || decimal.scale > (amounts === 'percent' ? 4 : 6)) return undefined;
  const unit = number?.unit;
  if (amounts === 'percent' || amounts === 'parts') {
    const own = amounts === 'percent' ? '%' : 'parts';
    return unit === undefined || unit === own ? decimal : undefined;
  }
  if (unit === '%' || unit === 'parts') return undefined;
  return { digits: BigInt(toMicrograms(decimal.digits, decimal.scale, unit ?? 'g')), scale: 6 };
}

function total(lines: readonly DraftLine[]): Fraction {
  return lines.reduce((sum, { amount }) => {
    return amount === 'rest' ? sum : added(sum, fraction(amount.digits, 10n ** BigInt(amount.scale)));
  }, NONE);
}

/** Where the sum stands: `62 %, 38 % to go`, or grams, or parts. */
function standing(lines: readonly DraftLine[], amounts: Amounts): string {
  const sum = total(lines);
  if (amounts !== 'percent') {
    const number = printDecimal({ digits: (sum.n * 1_000_000n) / sum.d, scale: 6 });
    return amounts === 'parts' ? `${number} parts` : `${number} g`;
  }
  const share = fraction(sum.n, sum.d * 100n);
  return `${printShare(share)} so far, ${printShare(lessBy({ n: 1n, d: 1n }, share))} to go`;
}

async function askIngredient({ talk, workshop }: Form, phase: DraftPhase): Promise<string | undefined> {
  for (;;) {
    const name = await talk.ask(`Phase ${phase.id}, next ingredient (Enter: the phase is complete, ?: shows all):`);
    if (name === '') return undefined;
    if (name === '?') {
      talk.say([...workshop.ingredients.values()].map(({ id }) => id).join(', '));
      continue;
    }
    const { known, unknown } = matchIngredients([{ name, inci: undefined }], workshop);
    const found = known.get(name);
    if (found) return found.id;
    const maybe = unknown[0]?.maybe.map(({ id }) => id) ?? [];
    talk.say(
      `The workshop has no ingredient \`${name}\`${maybe.length > 0 ? `. Perhaps ${maybe.join(' or ')}` : ''}. New ones are entered in workshop.yaml first.`,
    );
  }
}

async function askPhase(form: Form, phase: DraftPhase, before: readonly DraftLine[]): Promise<DraftLine[]> {
  const { talk, amounts } = form;
  const lines: DraftLine[] = [];
  const what = { percent: 'percent of the batch, such as 12.5, or `rest`', parts: 'parts, such as 3.5' };
  const ask = amounts === 'percent' || amounts === 'parts' ? what[amounts] : 'grams, such as 92.5, or with a unit';
  for (;;) {
    const name = await askIngredient(form, phase);
    if (name === undefined) return lines;
    const amount = await until(
      talk,
      `How much of ${name}? (${ask})`,
      (line) => readAmount(line, amounts),
      `That is no amount. Wanted: ${ask}, without a mark between thousands.`,
    );
    lines.push({ line: 0, name, inci: undefined, phase: phase.id, amount, note: undefined });
    talk.say(standing([...before, ...lines], amounts));
  }
}

/** Percent must come out at 100 before anything is written. */
function opensStill(lines: readonly DraftLine[], amounts: Amounts): string | undefined {
  if (lines.length === 0) return 'There is no ingredient yet.';
  if (amounts !== 'percent') return undefined;
  const sum = total(lines);
  const rests = lines.filter(({ amount }) => amount === 'rest').length;
  const over = sum.n >= sum.d * 100n;
  if (rests > 1) return 'Only one ingredient can take the rest.';
  if (rests === 1) return over ? 'Nothing is left for the rest.' : undefined;
  return sum.n === sum.d * 100n ? undefined : `The shares are at ${standing(lines, amounts)}.`;
}

async function askDraft(form: Form): Promise<{ draft: Draft; vessels: Map<string, string> }> {
  const { talk, workshop, amounts } = form;
  const vessels = new Map<string, string>();
  const phases: DraftPhase[] = [];
  const lines: DraftLine[] = [];
  const known = [...workshop.vessels.values()].filter(({ usableMl }) => usableMl !== undefined).map(({ id }) => id);
  while (phases.length < MOST_PHASES) {
    const id = String.fromCharCode(65 + phases.length);
    const isFirst = phases.length === 0;
    const name = await talk.ask(
      `Phase ${id}: what is it called, such as Melt?${isFirst ? '' : ' (Enter: that was all)'}`,
    );
    if (name === '' && !isFirst) {
      const open = opensStill(lines, amounts);
      if (open === undefined) break;
      talk.say(`${open} Go on with another phase, or type q to leave without writing.`);
      continue;
    }
    const phase = { id, name: name === '' ? 'All' : name };
    const vessel = await until(
      talk,
      `Into which vessel? ${known.join(', ')}`,
      (line) => (workshop.vessels.has(line) ? line : undefined),
      'The workshop has no vessel of that name.',
    );
    const own = await askPhase(form, phase, lines);
    if (own.length === 0) {
      talk.say('A phase without ingredients is left out.');
      continue;
    }
    phases.push(phase);
    vessels.set(id, vessel);
    lines.push(...own);
  }
  return { draft: { amounts, phases, lines, notes: [] }, vessels };
}

export async function formulaNew(
  options: { readonly in: string; readonly name?: string | undefined },
  world: FormWorld = TERMINAL,
): Promise<ExitCode> {
  const { in: folder } = options;
  const workshop = loadWorkshop(folder);
  const talk = openForm(world.input, world.print);
  try {
    talk.say('A new formula. Nothing is written before the end; q leaves.');
    const name =
      options.name ?? (await until(talk, 'What is it called?', (line) => line || undefined, 'It needs a name.'));
    const file = newFormulaFile(folder, name);
    const amounts = await until(
      talk,
      'Are its amounts percent, parts, or grams?',
      (line): Amounts | undefined =>
        (({ percent: 'percent', '%': 'percent', parts: 'parts', grams: 'g', g: 'g' }) as const)[line.toLowerCase()],
      'Type percent, parts or grams.',
    );
    const { draft, vessels } = await askDraft({ talk, workshop, amounts });
    const band = await until(
      talk,
      'How far may each weight be off, such as 2 %? (Enter: 2 %)',
      (line) => (line === '' ? '2 %' : /^\d+(\.\d+)?\s*(%|g)$/.exec(line)?.[0]),
      'Wanted: percent such as 2 %, or a mass such as 0.5 g.',
    );
    const ids = new Map(draft.lines.map((each) => [each.name, each.name]));
    const text = formulaText(draft, { name, vessels, band, ids });
    for (const line of text.trimEnd().split('\n')) world.print(`  ${line}`);
    const yes = await talk.ask(`Write this to ${file}? (yes, or q to leave)`);
    if (!/^y(es)?$/i.test(yes)) throw new FormLeft();
    const formula = writeFormula(file, text, workshop);
    world.print(
      `It is written. Add steps, highest levels and cautions to it, then: ${hint(`plan ${formula.id}`, folder)}`,
    );
    return EXIT.done;
  } catch (error) {
    if (!(error instanceof FormLeft)) throw error;
    world.print('You left before the end. Nothing was written.');
    return EXIT.failed;
  } finally {
    talk.close();
  }
}
