/**
 * Made-up formats of scales, over the whole range that a maker may meet. Nothing here is shared with the learner, and
 * all words are invented or plain English. A format turns what a display shows into the lines of one reading.
 */
import type { SerialSettings } from '../../src/wire/profile.ts';
import type { Rhythm } from '../../src/wire/reading.ts';
import { type Packing, somePacking } from './packing.ts';
import { type Dice, inventMark, inventWord, type SentUnit, UNIT_WORDS } from './words.ts';

/** What a display shows. Weights are whole counts of its last decimal place. */
export interface Shown {
  readonly mode: 'weight' | 'over' | 'under' | 'pieces' | 'other-unit';
  readonly gross: number;
  readonly tare: number;
  readonly isStable: boolean;
  /** In `pieces` mode the number shown; else the count for the pieces column. */
  readonly pieces: number;
  /** Of the day. */
  readonly seconds: number;
  /** How many readings were sent before. */
  readonly running: number;
}

export interface Format {
  readonly says: string;
  readonly serial: SerialSettings;
  readonly packing: Packing;
  readonly rhythm: Rhythm;
  readonly linesPerSecond: number;
  /** For asked scales: what it answers to. */
  readonly ask: { readonly send: string; readonly ending: 'crlf' | 'lf' | 'cr' } | undefined;
  readonly unit: SentUnit;
  readonly decimals: number;
  /** Step of the display, in counts: 1, 2 or 5. */
  readonly d: number;
  /** In counts. */
  readonly capacity: number;
  /** What it can be switched to; undefined where a reader of lines could not tell. */
  readonly otherUnit: { readonly unit: SentUnit; readonly decimals: number } | undefined;
  readonly canShowPieces: boolean;
  /** How its lines tell that it is at rest. */
  readonly rest: 'flag' | 'unit' | 'none';
  /** Whether it sends, on key, while it moves. */
  readonly sendsMoving: boolean;
  /** The lines of a reading; undefined: it sends nothing for this. */
  lines(shown: Shown): readonly string[] | undefined;
}

type Write = (shown: Shown) => string;

interface NumberStyle {
  readonly mark: '.' | ',';
  readonly pad: 'none' | 'blanks' | 'zeros';
  /** Of the digits, without a separate sign. */
  readonly width: number;
  readonly sign:
    | 'at digits'
    | 'first, plus or minus'
    | 'first, blank or minus'
    | 'behind, blank or minus'
    | 'behind, plus or minus'
    | 'apart';
}

export function someFormat(dice: Dice): Format {
  const taken = new Set<string>();
  const packing = somePacking(dice);
  const isFixed = packing.length !== undefined;
  const unit = dice.pick<SentUnit>(['g', 'g', 'g', 'g', 'kg', 'kg', 'oz', 'lb', 'mg', 'gr']);
  const decimals = {
    g: dice.whole(0, 3),
    kg: dice.whole(1, 4),
    mg: dice.whole(0, 1),
    lb: dice.whole(2, 4),
    oz: dice.whole(1, 3),
    gr: dice.whole(0, 2),
  }[unit];
  const d = dice.pick([1, 1, 1, 2, 5]);
  const capacity = d * dice.whole(2_000, 60_000);
  const style = someStyle(dice, isFixed, capacity, decimals);
  const rest = dice.pick<Format['rest']>(['flag', 'flag', 'flag', 'unit', 'none']);
  const unitIsSent = rest === 'unit' || dice.chance(0.75);
  const unitWord = dice.pick(UNIT_WORDS[unit]);
  const other = dice.pick<SentUnit>(['oz', 'lb', 'g', 'kg']);
  const otherWord = dice.pick(UNIT_WORDS[other]);
  const otherUnit =
    unitIsSent && other !== unit && otherWord.toLowerCase() !== unitWord.toLowerCase()
      ? { unit: other, decimals: dice.whole(1, 3) }
      : undefined;
  const piecesWord = inventWord(dice, 3, taken);

  const shownDecimals = (shown: Shown): number =>
    shown.mode === 'pieces' ? 0 : shown.mode === 'other-unit' ? (otherUnit?.decimals ?? 0) : decimals;
  const write = (count: number, shown: Shown): string => writeNumber(count, shownDecimals(shown), style);
  const fill = dice.pick(['-', '_', 'E', 'H', ' ']);

  // The number, or what stands in its place.
  const weight: Write = (shown) => {
    if (shown.mode === 'over' || shown.mode === 'under') {
      return fill.repeat(write(0, { ...shown, mode: 'weight' }).length);
    }
    return write(shown.mode === 'pieces' ? shown.pieces : shown.gross - shown.tare, shown);
  };

  const unitWidth = dice.chance(0.5) || isFixed ? dice.whole(Math.max(3, unitWord.length, otherWord.length), 5) : 0;
  const unitText: Write = (shown) => {
    if (!unitIsSent || (rest === 'unit' && !shown.isStable)) return ''.padEnd(unitWidth);
    const word = shown.mode === 'pieces' ? piecesWord : shown.mode === 'other-unit' ? otherWord : unitWord;
    return word.padEnd(unitWidth);
  };

  const status = someStatus(dice, rest === 'flag', isFixed, taken);
  const drawn = dice.pick([',', ';', ' ', ' ', '|', '/', '  ', '\t', '']);
  // Nobody separates numbers with decimal commas by commas.
  const separator = drawn === ',' && style.mark === ',' ? '|' : drawn;
  // Two numbers with nothing between them could be told apart by nobody.
  const extras = someExtras(dice, taken, isFixed);
  const gap = separator === '' ? (style.pad === 'none' || extras.length > 0 ? ' ' : '') : separator;
  const unitGap = dice.pick(['', ' ', ' ', separator]);
  const weightAndUnit: Write = unitIsSent ? (shown) => weight(shown) + unitGap + unitText(shown) : weight;

  const fields: Write[] = someWeights(dice, { weight, weightAndUnit, unitText, unitIsSent, write, taken, gap });
  for (const extra of extras) {
    if (dice.chance(0.5)) fields.unshift(extra);
    else fields.push(extra);
  }
  if (status !== undefined) {
    const place = dice.pick(['first', 'first', 'last', 'last', 'at the end']);
    if (place === 'first') fields.unshift(status);
    else if (place === 'last') fields.push(status);
    else {
      const last = fields.pop();
      if (last)
        fields.push(
          (shown) => last(shown) + (style.sign.startsWith('behind') || unitIsSent ? '' : ' ') + status(shown),
        );
    }
  }

  const perReading = isFixed || dice.chance(0.8) ? 1 : dice.whole(2, Math.min(4, Math.max(2, fields.length)));
  const stops = isFixed ? '' : dice.pick(['', '', '', ' ', ';', '.']);
  const header = inventWord(dice, dice.whole(3, 6), taken);
  const closing = dice.pick(['--------', '====', '', inventWord(dice, 4, taken)]);
  const overText = dice.pick([undefined, undefined, inventWord(dice, 4, taken)]);
  const filler = dice.pick(['/', '.', '!', 'x']);

  const plainLines = (shown: Shown): readonly string[] => {
    const texts = fields.map((field) => field(shown));
    if (isFixed)
      return [
        texts
          .join(gap)
          .padEnd((packing.length ?? 1) - 1)
          .slice(0, (packing.length ?? 1) - 1) + filler,
      ];
    if (perReading === 1) return [texts.join(gap) + stops];
    if (texts.length === 1)
      return perReading === 2 ? [header, texts.join(gap)] : [header, texts.join(gap), closing || '..'];
    const cut = Math.ceil(texts.length / perReading);
    const lines = Array.from({ length: Math.ceil(texts.length / cut) }, (_, index) =>
      texts.slice(index * cut, (index + 1) * cut).join(gap),
    );
    return lines.map((line, index) => (index === 0 ? `${header} ${line}` : `${line}${stops}`));
  };

  // A fixed frame has the length of its longest text.
  const longest: Shown = {
    mode: 'weight',
    gross: -capacity,
    tare: 0,
    isStable: true,
    pieces: 999,
    seconds: 0,
    running: 0,
  };
  if (isFixed) packing.length = fields.map((field) => field(longest)).join(gap).length + 1;

  const rhythm = dice.pick<Rhythm>([
    'continuous',
    'continuous',
    'continuous',
    'continuous',
    'on-change',
    'on-settled',
    'while-settled',
    'on-key',
    'asked',
  ]);
  const isSeven = packing.isAscii && dice.chance(0.3);
  const parity = isSeven ? dice.pick<'even' | 'odd'>(['even', 'odd']) : 'none';
  return {
    says: JSON.stringify(plainLines({ ...longest, gross: Math.round(capacity / 3), isStable: true })),
    serial: { baud: dice.pick([1200, 2400, 4800, 9600, 19200]), dataBits: isSeven ? 7 : 8, parity, stopBits: 1 },
    packing,
    rhythm,
    linesPerSecond: dice.whole(3, 12),
    ask:
      rhythm === 'asked'
        ? { send: inventWord(dice, dice.whole(1, 3), taken), ending: dice.pick(['crlf', 'cr', 'lf']) }
        : undefined,
    unit,
    decimals,
    d,
    capacity,
    otherUnit,
    canShowPieces: unitIsSent ? rest !== 'unit' : decimals > 0,
    rest,
    sendsMoving: dice.chance(0.5),
    lines: (shown) => {
      if (shown.mode === 'over' || shown.mode === 'under') {
        if (isFixed || overText === undefined) return plainLines(shown);
        return perReading === 1 ? [overText] : undefined;
      }
      return plainLines(shown);
    },
  };
}

function someStyle(dice: Dice, isFixed: boolean, capacity: number, decimals: number): NumberStyle {
  const digits = Math.max(String(capacity).length, decimals + 1) + (decimals > 0 ? 1 : 0);
  return {
    mark: dice.chance(0.75) ? '.' : ',',
    pad: isFixed ? dice.pick(['blanks', 'zeros']) : dice.pick(['none', 'blanks', 'blanks', 'zeros']),
    width: digits + dice.whole(1, 3),
    sign: isFixed
      ? dice.pick<NumberStyle['sign']>([
          'first, plus or minus',
          'first, blank or minus',
          'behind, plus or minus',
          'at digits',
        ])
      : dice.pick<NumberStyle['sign']>([
          'at digits',
          'at digits',
          'first, plus or minus',
          'first, blank or minus',
          'behind, blank or minus',
          'behind, plus or minus',
          'apart',
        ]),
  };
}

function writeNumber(count: number, decimals: number, style: NumberStyle): string {
  const { mark, pad, width, sign } = style;
  const bare = String(Math.abs(count)).padStart(decimals + 1, '0');
  const digits = decimals === 0 ? bare : bare.slice(0, -decimals) + mark + bare.slice(-decimals);
  const isBelow = count < 0;
  const padded = (text: string): string => (pad === 'none' ? text : text.padStart(width, pad === 'zeros' ? '0' : ' '));
  switch (sign) {
    case 'at digits':
      if (pad === 'zeros') return isBelow ? `-${digits.padStart(width - 1, '0')}` : padded(digits);
      return padded((isBelow ? '-' : '') + digits);
    case 'first, plus or minus':
      return (isBelow ? '-' : '+') + padded(digits);
    case 'first, blank or minus':
      return (isBelow ? '-' : ' ') + padded(digits);
    case 'behind, blank or minus':
      return padded(digits) + (isBelow ? '-' : ' ');
    case 'behind, plus or minus':
      return padded(digits) + (isBelow ? '-' : '+');
    default:
      return `${isBelow ? '- ' : '+ '}${padded(digits)}`;
  }
}

/** A word or mark that says whether it has settled, perhaps another at zero; or a word that is always the same. */
function someStatus(dice: Dice, isFlag: boolean, isFixed: boolean, taken: Set<string>): Write | undefined {
  if (!isFlag) {
    if (dice.chance(0.7)) return undefined;
    const always = inventWord(dice, dice.whole(1, 4), taken);
    return () => always;
  }
  const letters = dice.whole(1, 5);
  const isMark = dice.chance(0.25);
  const word = (): string =>
    isMark
      ? inventMark(dice, taken)
      : inventWord(dice, isFixed ? letters : Math.max(1, letters + dice.whole(-1, 1)), taken);
  const [stable, moving, atZero, over] = [word(), word(), word(), word()];
  const blank = dice.pick(['neither', 'neither', 'neither', 'stable', 'moving']);
  const hasZeroWord = dice.chance(0.12);
  const isPadded = isFixed || dice.chance(0.5);
  const width = isPadded ? Math.max(...[stable, moving, atZero, over].map((each) => each.length)) : 0;
  return (shown) => {
    const isZero = hasZeroWord && shown.mode === 'weight' && shown.gross - shown.tare === 0 && shown.isStable;
    if (shown.mode === 'over' || shown.mode === 'under') return over.padEnd(width);
    const said = isZero
      ? atZero
      : shown.isStable
        ? blank === 'stable'
          ? ''
          : stable
        : blank === 'moving'
          ? ''
          : moving;
    return said.padEnd(Math.max(width, said === '' && isMark ? 1 : 0));
  };
}

interface ForWeights {
  readonly weight: Write;
  readonly weightAndUnit: Write;
  readonly unitText: Write;
  readonly unitIsSent: boolean;
  readonly write: (count: number, shown: Shown) => string;
  readonly taken: Set<string>;
  readonly gap: string;
}

/** The weight alone, or among gross and tare, or its unit before it. */
function someWeights(
  dice: Dice,
  { weight, weightAndUnit, unitText, unitIsSent, write, taken, gap }: ForWeights,
): Write[] {
  const kind = dice.next();
  const gross: Write = (shown) => write(shown.gross, shown);
  const tare: Write = (shown) => write(shown.tare, shown);
  if (kind < 0.6) return [weightAndUnit];
  if (kind < 0.7 && unitIsSent) return [unitText, weight];
  if (kind < 0.78) {
    const label = inventWord(dice, dice.whole(2, 6), taken) + dice.pick([':', '=', ' ', ': ']);
    return [(shown) => label + weightAndUnit(shown)];
  }
  const safeGap = gap === '' ? ' ' : '';
  const all: Write[] = dice.chance(0.6)
    ? [gross, tare, weightAndUnit]
    : dice.chance(0.5)
      ? [weightAndUnit, gross]
      : [weightAndUnit, tare, gross];
  const labels = dice.chance(0.5)
    ? all.map(() => `${inventWord(dice, 2, taken)}${dice.pick([' ', ':', '='])}`)
    : all.map(() => '');
  return all.map(
    (field, index) => (shown) => (labels[index] ?? '') + field(shown) + (index < all.length - 1 ? safeGap : ''),
  );
}

/** What else stands on a line: the time, the number of pieces, whether a tare is set, a running number, a name. */
function someExtras(dice: Dice, taken: Set<string>, isFixed: boolean): Write[] {
  const two = (value: number): string => String(value).padStart(2, '0');
  const extras: Write[] = [];
  if (dice.chance(0.1)) {
    const withSeconds = dice.chance(0.6);
    extras.push(
      ({ seconds }) =>
        `${two(Math.floor(seconds / 3600) % 24)}:${two(Math.floor(seconds / 60) % 60)}${withSeconds ? `:${two(seconds % 60)}` : ''}`,
    );
  }
  if (dice.chance(0.08)) {
    const word = inventWord(dice, 3, taken);
    extras.push(({ pieces }) => `${String(pieces).padStart(4)} ${word}`);
  }
  if (dice.chance(0.1)) {
    const letters = dice.whole(1, 3);
    const [tared, plain] = [
      inventWord(dice, letters, taken),
      dice.chance(0.3) ? ''.padEnd(letters) : inventWord(dice, letters, taken),
    ];
    extras.push(({ tare }) => (tare === 0 ? plain : tared));
  }
  if (dice.chance(0.08)) extras.push(({ running }) => String(running % 10_000).padStart(4, '0'));
  if (dice.chance(0.1)) {
    const name = `${inventWord(dice, 2, taken)}${isFixed || dice.chance(0.5) ? '' : dice.whole(1, 9)}`;
    extras.push(() => name);
  }
  return extras;
}
