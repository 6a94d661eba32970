/** How a line is laid out: number fields with their blanks and signs, and between them texts with slots. */
import { type SignPlace, signOf, type WeightFound } from './findWeight.ts';
import { findSlots, type TextPart } from './slots.ts';
import { joinNumbers, numberOf, type TakenApart } from './takenApart.ts';

export interface NumberField {
  readonly kind: 'weight' | 'number' | 'clock';
  /** Of each reading. */
  readonly digits: readonly string[];
  /** Blanks and signs before the digits, of each reading. */
  readonly before: readonly string[];
  /** One sign, or the blank in its place, behind the digits; of each reading. */
  readonly behind: readonly string[];
}

export interface TextField {
  readonly parts: readonly TextPart[];
  /** Which of the different texts each reading has. */
  readonly variant: readonly number[];
}

export interface Layout {
  readonly readings: readonly TakenApart[];
  readonly sign: SignPlace;
  readonly fields: readonly NumberField[];
  /** One more than fields. */
  readonly texts: readonly TextField[];
}

/** @returns undefined when texts between the numbers differ in more ways than words do */
export function findLayout({ readings: all, place, sign }: WeightFound): Layout | undefined {
  const first = all[0];
  if (first === undefined) return undefined;
  // Before the sign is known a minus may be anything: such lines are not for learning.
  const usable = sign === undefined ? all.filter((each) => !mayBeBelow(each, place)) : all;
  const still = first.numbers.flatMap((digits, other) =>
    other !== place && !isClock(digits) && usable.every(({ numbers }) => numbers[other] === digits) ? [other] : [],
  );
  const readings = usable.map((each) => joinNumbers(each, new Set(still)));
  const weightPlace = place - still.filter((other) => other < place).length;

  const fields: NumberField[] = [];
  const texts = readings.map(({ texts: of }) => [...of]);
  for (const [index] of (readings[0]?.numbers ?? []).entries()) {
    const digits = readings.map(({ numbers }) => numbers[index] ?? '');
    const kind = index === weightPlace ? 'weight' : digits.some(isClock) ? 'clock' : 'number';
    const taken = takeZones(texts, index, kind, sign);
    fields.push({ kind, digits, ...taken });
  }
  const found = (readings[0]?.texts ?? []).map((_, index) => textField(texts.map((of) => of[index] ?? '')));
  const complete = found.filter((each) => each !== undefined);
  return complete.length === found.length ? { readings, sign, fields, texts: complete } : undefined;
}

function mayBeBelow(each: TakenApart, place: number): boolean {
  return signOf(each, place, 'before') === '-' || signOf(each, place, 'behind') === '-';
}

function isClock(digits: string): boolean {
  return numberOf(digits) === undefined;
}

/** Cuts blanks and signs of one number out of the texts around it. */
function takeZones(
  texts: string[][],
  index: number,
  kind: NumberField['kind'],
  sign: SignPlace,
): Pick<NumberField, 'before' | 'behind'> {
  const left = kind === 'number' ? /[-+ ]*$/ : kind === 'weight' && sign === 'before' ? /( *[+-])? *$/ : / *$/;
  const hasBehind = sign === 'behind' && kind !== 'clock';
  const marks = texts.map((of) => (hasBehind ? (/^[+-]/.exec(of[index + 1] ?? '')?.[0] ?? '') : ''));
  const isColumn = hasBehind && texts.every((of, reading) => marks[reading] !== '' || of[index + 1]?.startsWith(' '));
  const before: string[] = [];
  const behind: string[] = [];
  for (const [reading, of] of texts.entries()) {
    const zone = left.exec(of[index] ?? '')?.[0] ?? '';
    of[index] = (of[index] ?? '').slice(0, (of[index] ?? '').length - zone.length);
    before.push(zone);
    const mark = marks[reading] === '' && isColumn ? ' ' : (marks[reading] ?? '');
    of[index + 1] = (of[index + 1] ?? '').slice(mark.length);
    behind.push(mark);
  }
  return { before, behind };
}

function textField(texts: readonly string[]): TextField | undefined {
  const different = [...new Set(texts)];
  const parts = findSlots(different);
  return parts && { parts, variant: texts.map((text) => different.indexOf(text)) };
}
