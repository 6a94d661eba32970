/** A sheet on the disk as a formula: what it leaves open is answered by options, or asked. */
import { readFileSync, statSync } from 'node:fs';
import { fileText, LARGEST_SHEET } from '../../bring/fileText.ts';
import type { Amounts, Answers, Draft, Question, Row } from '../../bring/model.ts';
import { readTable } from '../../bring/readTable.ts';
import { understand } from '../../bring/understand.ts';
import { cleanText } from '../../facts/cleanText.ts';
import { isUnit } from '../../mass/units.ts';
import { Ending, EXIT } from '../exit.ts';
import type { FormTalk } from './formTalk.ts';

/** Answers as options. */
export interface AnswerOptions {
  readonly decimal?: string | undefined;
  readonly amounts?: string | undefined;
  readonly sum?: string | undefined;
}

/** The rows of a file; its size is looked at before anything of it is read. */
export function readSheet(file: string): readonly Row[] {
  const shown = cleanText(file);
  const refuse = (why: string) => new Ending(EXIT.wrongUse, `${shown}: ${why} Nothing was changed.`);
  let bytes: Uint8Array;
  try {
    const { size, isFile } = { size: statSync(file).size, isFile: statSync(file).isFile() };
    if (!isFile) throw refuse('It is no file.');
    if (size > LARGEST_SHEET) throw refuse('It is larger than 1 MB: that is no formula. It was not read.');
    bytes = readFileSync(file);
  } catch (error) {
    if (error instanceof Ending) throw error;
    const { code } = error as NodeJS.ErrnoException;
    throw refuse(code === 'ENOENT' ? 'It is not there.' : `It can not be read (${code}).`);
  }
  const text = fileText(bytes);
  if (!text.ok) throw refuse(text.why);
  const table = readTable(text.text);
  if (!table.ok) throw refuse(table.why);
  return table.rows;
}

export function answersFrom({ decimal, amounts, sum }: AnswerOptions): Answers {
  if (decimal !== undefined && decimal !== 'point' && decimal !== 'comma') {
    throw new Ending(EXIT.wrongUse, '--decimal wants `point` or `comma`.');
  }
  if (amounts !== undefined && !isAmounts(amounts)) {
    throw new Ending(EXIT.wrongUse, '--amounts wants `percent`, `parts`, or a unit of mass such as `g`.');
  }
  if (sum !== undefined && sum !== 'scale') throw new Ending(EXIT.wrongUse, '--sum wants `scale`.');
  return { decimal, amounts, sum };
}

function isAmounts(word: string): word is Amounts {
  return word === 'percent' || word === 'parts' || isUnit(word);
}

function printQuestion({ option, ask, choices }: Question): string {
  return [ask, ...choices.map(({ answer, means }) => `  ${option} ${answer}: ${means}`)].join('\n');
}

/** An answer to a question of the sheet; undefined for a word that is none. */
function answered({ option }: Question, word: string, answers: Answers): Answers | undefined {
  if (option === '--decimal' && (word === 'point' || word === 'comma')) return { ...answers, decimal: word };
  if (option === '--amounts' && isAmounts(word)) return { ...answers, amounts: word };
  if (option === '--sum' && word === 'scale') return { ...answers, sum: word };
  return undefined;
}

async function askSheet(question: Question, answers: Answers, talk: FormTalk): Promise<Answers> {
  const { ask, choices } = question;
  talk.say(ask);
  for (const { answer, means } of choices) talk.say(means, `  ${answer}: `);
  for (;;) {
    const word = await talk.ask(`${choices.map(({ answer }) => answer).join(', ')}, or q to leave:`);
    const given = answered(question, word.toLowerCase(), answers);
    if (given) return given;
  }
}

/** The sheet as a formula, after all of its questions. */
export async function draftFrom(
  file: string,
  rows: readonly Row[],
  given: Answers,
  talk: FormTalk | undefined,
): Promise<Draft> {
  let answers = given;
  for (;;) {
    const found = understand(rows, answers);
    if (found.kind === 'draft') return found.draft;
    if (found.kind === 'faults') {
      throw new Ending(
        EXIT.wrongUse,
        [`${cleanText(file)} can't be brought in. Nothing was changed.`, ...found.faults].join('\n'),
      );
    }
    const [first] = found.questions;
    if (talk === undefined || first === undefined) {
      const head = `${cleanText(file)} leaves something open. Nothing was changed. Run it again with an answer:`;
      throw new Ending(EXIT.wrongUse, [head, ...found.questions.map(printQuestion)].join('\n'));
    }
    answers = await askSheet(first, answers, talk);
  }
}
