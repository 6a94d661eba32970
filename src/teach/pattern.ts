/** The layout of a line -> the pattern that fits such lines and no others. */
import type { RestFound, SlotPlace } from './findRest.ts';
import type { UnitFound } from './findUnit.ts';
import type { Layout, NumberField } from './layout.ts';
import type { TextPart } from './slots.ts';

/** @param rest undefined: no word on rest is read */
export function writePattern(layout: Layout, unit: UnitFound | undefined, rest: RestFound | undefined): string {
  const { fields, texts, readings } = layout;
  let pattern = '';
  for (const [index, { parts }] of texts.entries()) {
    const written = parts.map((part, place) => writePart(part, { text: index, part: place }, unit, rest)).join('');
    // Where nothing needs to stand between two numbers, the digits of one must not be shared by both.
    if (index > 0 && mayBeNothing(parts[0])) pattern += '(?!\\d)';
    pattern += written;
    const field = fields[index];
    const isBeside = written === '' && fields[index - 1]?.behind.includes('') === true;
    if (field) pattern += writeNumber(field, layout, isBeside);
  }
  const length = readings[0]?.reading.text.length ?? 0;
  return isOfOneLength(layout) ? `${pattern}(?<=^.{${length}})` : pattern;
}

function mayBeNothing(part: TextPart | undefined): boolean {
  return part?.kind === 'slot'
    ? part.alternatives.some((each) => !/^\D/.test(each))
    : part?.kind === 'blanks' && part.least === 0;
}

/** Lines padded to one length, whatever number they show: a lost character then shows. */
function isOfOneLength({ readings, fields }: Layout): boolean {
  const lengths = new Set(readings.map(({ reading }) => reading.text.length));
  const weight = fields.find(({ kind }) => kind === 'weight');
  return lengths.size === 1 && new Set(weight?.digits.map((digits) => digits.length)).size > 1;
}

const isSame = (a: SlotPlace | undefined, b: SlotPlace): boolean => a?.text === b.text && a.part === b.part;

function writePart(part: TextPart, place: SlotPlace, unit: UnitFound | undefined, rest: RestFound | undefined): string {
  if (part.kind === 'blanks') return part.least === 0 ? ' *' : ' +';
  if (part.kind === 'same') {
    if (!isSame(unit?.place, place) || !unit) return literal(part.text);
    return `${literal(part.text.slice(0, unit.at))}(?<unit>${literal(unit.word)})${literal(part.text.slice(unit.at + unit.word.length))}`;
  }
  const all = [...new Set(part.alternatives)].sort((a, b) => b.length - a.length);
  if (isSame(unit?.place, place)) return group('(?<unit>', all);
  if (!rest || !isSame(rest.slot, place)) return group('(?:', all);
  const known = all.filter((each) => rest.words.has(each.trim()));
  const others = all.filter((each) => !rest.words.has(each.trim()));
  if (others.length === 0) return group('(?<status>', known);
  return `(?:${group('(?<status>', known)}|${others.map(literal).join('|')})`;
}

function group(opening: string, alternatives: readonly string[]): string {
  const written = alternatives.filter((each) => each !== '').map(literal);
  return `${opening}${written.join('|')})${alternatives.includes('') ? '?' : ''}`;
}

function writeNumber(field: NumberField, { sign, fields }: Layout, isBesideDigits: boolean): string {
  const { kind, before, behind } = field;
  const digits = kind === 'clock' ? clock(field.digits) : plainNumber(field.digits, kind === 'weight');
  if (kind === 'number') {
    // Another weight may be below zero, too, although it was not while teaching.
    const weight = fields.find((each) => each.kind === 'weight');
    const isWeightLike = decimalsOf(field) === decimalsOf(weight) || before.some((each) => /[+-]/.test(each));
    const zone = isWeightLike ? '[-+ ]' : ' ';
    const isEmpty = !isWeightLike && before.every((each) => each === '');
    return (
      (isEmpty ? '' : zone + (isBesideDigits ? '+' : '*')) +
      digits +
      (behind.some((each) => each !== '') ? '[-+ ]?' : '')
    );
  }
  const leading =
    kind === 'weight' && sign === 'before' ? signBefore(before, isBesideDigits) : blanks(before, isBesideDigits);
  if (kind === 'clock') return leading + digits;
  return `${leading}(?<number>${digits})${sign === 'behind' ? signBehind(behind) : ''}`;
}

function blanks(zones: readonly string[], isBesideDigits: boolean): string {
  if (zones.every((zone) => zone === '')) return '';
  return isBesideDigits ? ' +' : ' *';
}

function signBefore(zones: readonly string[], isBesideDigits: boolean): string {
  const signed = zones.filter((zone) => /[+-]/.test(zone));
  const isAlways = signed.length === zones.length;
  const marks = zones.some((zone) => zone.includes('+')) ? '[+-]' : '-';
  const group = `(?<sign>${marks})${isAlways ? '' : '?'}`;
  const isLed = signed.some((zone) => zone.startsWith(' '));
  const isFollowed = signed.some((zone) => zone.endsWith(' '));
  const isUnsignedBlank = zones.some((zone) => /^ +$/.test(zone));
  if (isBesideDigits && zones.every((zone) => zone.startsWith(' '))) return ` +${group}${isFollowed ? ' *' : ''}`;
  return `${isLed || (isUnsignedBlank && !isFollowed) ? ' *' : ''}${group}${isFollowed ? ' *' : ''}`;
}

function signBehind(marks: readonly string[]): string {
  const seen = (mark: string): boolean => marks.includes(mark);
  const chars = `${seen('+') ? '+' : ''}${seen(' ') ? ' ' : ''}-`;
  return `(?<sign>${chars === '-' ? '-' : `[${chars}]`})${seen('') ? '?' : ''}`;
}

function decimalsOf(field: NumberField | undefined): number | undefined {
  return field && Math.max(...field.digits.map((each) => (each.split(/[.,]/)[1] ?? '').length));
}

function plainNumber(all: readonly string[], isWeight: boolean): string {
  const mark = all.some((digits) => digits.includes(',')) ? ',' : '\\.';
  const wholes = all.map((digits) => digits.split(/[.,]/)[0] ?? '');
  const decimals = all.map((digits) => (digits.split(/[.,]/)[1] ?? '').length);
  const isZeroPadded = isWeight && wholes.some((whole) => /^0\d/.test(whole));
  const whole = isZeroPadded ? `\\d{${span(wholes.map(({ length }) => length))}}` : '\\d+';
  const [least, most] = [Math.min(...decimals), Math.max(...decimals)];
  if (most === 0) return whole;
  const part = `${mark}\\d{${span(decimals.filter((count) => count > 0))}}`;
  return whole + (least === 0 ? `(?:${part})?` : part);
}

function span(counts: readonly number[]): string {
  const [least, most] = [Math.min(...counts), Math.max(...counts)];
  return least === most ? `${least}` : `${least},${most}`;
}

function clock(all: readonly string[]): string {
  const hasSeconds = all.some((each) => each.split(':').length === 3);
  const hours = all.every((each) => each.indexOf(':') === 2) ? '\\d\\d' : '\\d{1,2}';
  return `${hours}:\\d\\d${hasSeconds ? ':\\d\\d' : ''}`;
}

/** The same pattern with an upper bound on every repeat. */
export function withBounds(pattern: string): string {
  return pattern
    .replaceAll('\\d+', '\\d{1,9}')
    .replace(/(\[-\+ \]| )\*/g, '$1{0,15}')
    .replace(/(\[-\+ \]| )\+/g, '$1{1,15}');
}

/** A text that means itself. */
export function literal(text: string): string {
  return text
    .replace(/[\\^$.*+?()[\]{}|]/g, '\\$&')
    .replace(/\t/g, '\\t')
    .replace(/ {3,}/g, (run) => ` {${run.length}}`);
}
