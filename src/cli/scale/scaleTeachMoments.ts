/** The second part of teaching: what the learner wants to hear, moment by moment, and what the display shows meanwhile. */

import { cleanText } from '../../facts/cleanText.ts';
import { cutToWidth } from '../../facts/textWidth.ts';
import { keepAsking } from '../../link/listenAsk.ts';
import { type Ear, joined, openEar, pause, throwIfLost } from '../../link/listenPort.ts';
import { isUnit, MICROGRAMS_IN } from '../../mass/units.ts';
import type { Clock } from '../../signal/clock.ts';
import type { Evidence, Heard, Piece, Question } from '../../teach/model.ts';
import { nextQuestion } from '../../teach/nextQuestion.ts';
import type { FoundLine, TeachPort } from './scaleTeachLine.ts';
import type { TeachTalk } from './scaleTeachTalk.ts';
import { portEnding } from './scaleTeachTrouble.ts';

/** However the questions go, they end. */
const MOST_QUESTIONS = 40;
/** The newest text is shown up to this width. */
const SHOWN_WIDTH = 60;
const LEAD = '   ';

/** Asks and listens until there is no more question. @throws Ending when the port is gone; `Left` when the maker leaves */
export async function gather({ serial, ask }: FoundLine, port: TeachPort, talk: TeachTalk): Promise<Evidence> {
  let evidence: Evidence = { serial, ask, heard: [], skipped: [] };
  let ear: Ear | undefined;
  let endAsking: (() => void) | undefined;
  try {
    ear = await openEar({ ...port, serial });
    endAsking = ask && keepAsking(ear, ask, port.clock);
    for (let number = 1; number <= MOST_QUESTIONS; number++) {
      const question = nextQuestion(evidence);
      if (!question) break;
      const heard = await oneMoment(question, number, ear, port.clock, talk);
      evidence = heard
        ? { ...evidence, heard: [...evidence.heard, heard] }
        : { ...evidence, skipped: [...evidence.skipped, question.moment] };
    }
    return evidence;
  } catch (error) {
    throw portEnding(error, port.shown);
  } finally {
    endAsking?.();
    await ear?.close();
  }
}

/** @returns undefined when it is skipped */
async function oneMoment(
  { moment, say, listenMs, pressKey, askDisplay, ifSkipped }: Question,
  number: number,
  ear: Ear,
  clock: Clock,
  talk: TeachTalk,
): Promise<Heard | undefined> {
  const began = clock.now();
  const isTouched = moment === 'touched' || moment === 'touched-empty';
  const goOn = isTouched ? 'Enter: I have begun, and go on' : 'Enter: it is so';
  const skip = ifSkipped === undefined ? '' : `; s: skip it. ${ifSkipped}`;
  let answer = await talk.ask(`${say} (${goOn}${skip})`, `${number}. `);
  while (answer !== '') {
    if (/^(s|skip)$/i.test(answer) && ifSkipped !== undefined) return undefined;
    const others = ifSkipped === undefined ? 'It can not be skipped.' : 's skips it.';
    answer = await talk.ask(`Press Enter when that is done. ${others} q leaves.`, LEAD);
  }
  const ready = clock.now();
  talk.print(`   Listening for ${Math.round(listenMs / 1000)} seconds.`);
  await talk.during((signal) => pause(clock, listenMs, signal));
  throwIfLost(ear);
  const ended = clock.now();
  const pieces = ear.since(began).filter(({ at }) => at <= ended);
  const text = newestText(pieces);
  talk.print(text === '' ? '   Nothing came.' : `   It sent: ${text}`);
  return {
    moment,
    // Of a flood only the latest part is kept.
    began: Math.min(Math.max(began, ear.wholeSince), ready),
    ready,
    ended,
    pieces,
    keyPressed: pressKey,
    shown: askDisplay === undefined ? undefined : await askShown(askDisplay, talk),
  };
}

/** The end of what came, as far as it can be shown. */
function newestText(pieces: readonly Piece[]): string {
  const bytes = joined(pieces).slice(-200);
  const lines = String.fromCharCode(...bytes.map((byte) => byte & 0x7f))
    .split(/[\r\n\x01-\x04]+/)
    .map((line) => cleanText(line).trim())
    .filter((line) => line !== '');
  // The first line, and the last one, may be half of one.
  const line = lines.length > 2 ? lines.at(-2) : lines.at(-1);
  return cutToWidth(line ?? '', SHOWN_WIDTH);
}

/** @returns number and unit, such as `296.4 g`; undefined when she does not know */
async function askShown(question: string, talk: TeachTalk): Promise<string | undefined> {
  let answer = await talk.ask(`${question} (?: I can't see it)`, LEAD);
  for (;;) {
    if (answer === '?') return undefined;
    const shown = readShown(answer);
    if (shown.kind === 'shown') return shown.text;
    if (shown.kind === 'no-unit') {
      const unit = await talk.ask(
        `In which unit does it show that? One of ${Object.keys(MICROGRAMS_IN).join(', ')}, such as g:`,
        LEAD,
      );
      const whole = readShown(`${shown.number} ${unit}`);
      if (whole.kind === 'shown') return whole.text;
    }
    answer = await talk.ask(
      "That is no number with its unit, such as 296.4 g. Type all the digits, with a point before the decimals and nothing between thousands. (?: I can't see it)",
      LEAD,
    );
  }
}

type ShownAnswer =
  | { readonly kind: 'shown'; readonly text: string }
  | { readonly kind: 'no-unit'; readonly number: string }
  | { readonly kind: 'none' };

/**
 * A display's number and unit as people type it: `296.4 g`, `296,4g`, `- 12.0 G`. `1,234` is refused: it may be a
 * thousand.
 */
export function readShown(typed: string): ShownAnswer {
  const found = /^([+-]?)\s*(\d{0,12}(?:[.,]\d{1,9})?|\d{1,12}[.,]?)\s*([a-z]*)\.?$/i.exec(typed.trim());
  const [, sign = '', digits = '', word = ''] = found ?? [];
  if (!/\d/.test(digits) || /^[1-9]\d{0,2},\d{3}$/.test(digits)) return { kind: 'none' };
  const number = `${sign === '-' ? '-' : ''}${digits.replace(',', '.').replace(/^\./, '0.').replace(/\.$/, '')}`;
  if (word === '') return { kind: 'no-unit', number };
  const unit = word.toLowerCase();
  return isUnit(unit) ? { kind: 'shown', text: `${number} ${unit}` } : { kind: 'none' };
}
