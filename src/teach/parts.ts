/** How sure each part of what was learnt is, and from what: sentences for a maker. */
import type { Framing } from '../wire/framing.ts';
import { endText } from '../wire/framing.ts';
import type { SerialSettings } from '../wire/profile.ts';
import type { Rhythm } from '../wire/reading.ts';
import type { FramingFound } from './findFraming.ts';
import type { AskCommand, Evidence, Part } from './model.ts';
import { blankUnitMoves, type Findings, speaksOnlyAtRest } from './profileFile.ts';
import type { Study } from './study.ts';

/** What is known although there is no profile. */
export function knownParts({ serial, ask }: Evidence, framing: FramingFound | undefined): Part[] {
  return [...(framing ? [settings(serial), ...framed(framing)] : []), ...(ask ? [asked(ask)] : [])];
}

export function partsOf({ findings, framing }: Extract<Study, { ok: true }>, evidence: Evidence): Part[] {
  const { linesPerReading, rhythm } = findings;
  return [
    settings(evidence.serial),
    ...framed(framing),
    ...(linesPerReading > 1
      ? [
          part(
            'lines per reading',
            `${linesPerReading} lines make one reading`,
            'certain',
            'they come at once, with a pause before the next',
          ),
        ]
      : []),
    ...weightParts(findings),
    unitPart(findings),
    restPart(findings),
    part('rhythm', `sends ${RHYTHMS[rhythm.rhythm]}`, rhythm.sure, rhythm.from),
    ...(evidence.ask ? [asked(evidence.ask)] : []),
  ];
}

/** The shape in words, for the profile's own file. */
export function describe(findings: Findings): string {
  const texts = [...weightParts(findings), unitPart(findings), restPart(findings)].map(
    ({ part: of, says }) => `${of}: ${says}`,
  );
  return `Learnt from the scale itself. ${texts.join('; ')}; sends ${RHYTHMS[findings.rhythm.rhythm]}.`.slice(0, 400);
}

function part(of: Part['part'], says: string, sure: Part['sure'], from: string): Part {
  return { part: of, says, sure, from };
}

const RHYTHMS: Readonly<Record<Rhythm, string>> = {
  continuous: 'all the time',
  'on-change': 'when its display changes',
  asked: 'when it is asked',
  'on-settled': 'once each time it has come to rest',
  'while-settled': 'only while it is at rest',
  'on-key': 'when its key is pressed',
};

function settings({ baud, dataBits, parity, stopBits }: SerialSettings): Part {
  const says = `${baud} baud, ${dataBits} data bits, parity ${parity}, ${stopBits} stop bit${stopBits === 1 ? '' : 's'}`;
  return part('line settings', says, 'certain', 'what came under them is text that makes sense');
}

function framed({ framing, checked }: FramingFound): Part[] {
  const parts = [part('framing', framingInWords(framing), 'certain', 'all that was heard is cut by it without a rest')];
  if (framing.check) {
    const { kind, covers, place } = framing.check;
    parts.push(
      part('check bytes', `${kind} over ${covers}, ${place}`, 'certain', `it agreed in ${checked} different lines`),
    );
  }
  return parts;
}

function framingInWords({ start, end, length }: Framing): string {
  const hex = (text: string): string =>
    [...text].map((each) => `0x${each.charCodeAt(0).toString(16).padStart(2, '0')}`).join(' ');
  const opened = start === undefined ? '' : `begins with ${hex(start)}, `;
  return end === undefined ? `${opened}frames of ${length} bytes` : `${opened}ends with ${hex(endText({ end }))}`;
}

function asked({ send, ending }: AskCommand): Part {
  const shown = [...send]
    .map((each) => (each < ' ' || each > '~' ? `0x${each.charCodeAt(0).toString(16).padStart(2, '0')}` : each))
    .join('');
  return part(
    'ask command',
    `${shown}${ending === 'none' ? '' : `, then ${ending}`}`,
    'certain',
    'the scale was silent until it was asked this',
  );
}

function weightParts({ weight, layout }: Findings): Part[] {
  const { displays, sign, mark, place } = weight;
  const count = layout.fields.filter(({ kind }) => kind !== 'clock').length;
  const hasMark = layout.fields.some(
    ({ kind, digits }) => kind === 'weight' && digits.some((each) => /[.,]/.test(each)),
  );
  return [
    part(
      'number',
      count === 1 ? 'the number on the line' : `number ${place + 1} on the line`,
      'certain',
      `it was what the display showed, ${displays.length} times${count === 1 ? '' : ', and no other number always was'}`,
    ),
    part(
      'decimal mark',
      !hasMark ? 'none' : mark === ',' ? 'a comma' : 'a point',
      'certain',
      'compared with the display',
    ),
    sign === undefined
      ? part('sign', 'weights below zero are refused', 'unknown', 'nothing below zero was shown')
      : part(
          'sign',
          sign === 'before' ? 'before the digits' : 'behind the digits',
          'certain',
          'seen above and below zero, as on the display',
        ),
  ];
}

function unitPart({ unit, unitWord }: Findings): Part {
  if (unitWord)
    return part(
      'unit',
      `${unit}, written ${unitWord.word}`,
      'certain',
      'the line and the display agree; any other is refused',
    );
  return part(
    'unit',
    unit,
    'likely',
    'from the display alone: no unit was found in the line, so a change of unit may not show',
  );
}

function restPart(findings: Findings): Part {
  const { rest, rhythm } = findings;
  if (blankUnitMoves(findings))
    return part(
      'rest',
      'the unit is left blank while it moves',
      'certain',
      'blank while touched, there while left alone',
    );
  if (rest) {
    const words = [...rest.words].map(([word, meaning]) => `${word === '' ? 'a blank' : `"${word}"`} is ${meaning}`);
    return part(
      'rest',
      words.join(', '),
      rest.untested.length === 0 ? 'certain' : 'likely',
      'how it changed while the pan was touched and while it was left alone',
    );
  }
  if (speaksOnlyAtRest(rhythm))
    return part('rest', 'every line is at rest', 'certain', 'it is silent while the pan is touched');
  return part(
    'rest',
    'judged from the weights themselves',
    'unknown',
    'nothing on the line changed with touching the pan',
  );
}
