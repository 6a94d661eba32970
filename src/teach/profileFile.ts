/** What was learnt -> the wire profile's file. */
import { stringify } from 'yaml';
import { ENDING_TEXT, type Framing } from '../wire/framing.ts';
import type { SerialSettings } from '../wire/profile.ts';
import type { RestFound } from './findRest.ts';
import type { RhythmFound } from './findRhythm.ts';
import type { UnitFound } from './findUnit.ts';
import type { WeightFound } from './findWeight.ts';
import type { Layout } from './layout.ts';
import type { AskCommand } from './model.ts';
import { writePattern } from './pattern.ts';
import type { WireUnit } from './shownNumber.ts';

/** All parts of a profile, found one by one. */
export interface Findings {
  readonly serial: SerialSettings;
  readonly ask: AskCommand | undefined;
  readonly framing: Framing;
  readonly linesPerReading: number;
  readonly weight: WeightFound;
  readonly layout: Layout;
  readonly unit: WireUnit;
  readonly unitWord: UnitFound | undefined;
  readonly rest: RestFound | undefined;
  readonly rhythm: RhythmFound;
}

/** What a blank where the unit stands says: the scale moves. */
export function blankUnitMoves({ rest, unitWord }: Pick<Findings, 'rest' | 'unitWord'>): boolean {
  return isUnitSlot(rest, unitWord) && rest?.words.get('') === 'moving';
}

function isUnitSlot(rest: RestFound | undefined, unitWord: UnitFound | undefined): boolean {
  return rest !== undefined && rest.slot.text === unitWord?.place.text && rest.slot.part === unitWord.place.part;
}

/** What a line without a status word says of rest. */
function noStatus({ rest, unitWord, rhythm }: Findings): 'stable' | 'moving' | undefined {
  if (rest && !isUnitSlot(rest, unitWord)) return rest.words.get('');
  if (rest) return undefined;
  return speaksOnlyAtRest(rhythm) ? 'stable' : undefined;
}

/** By its rhythm alone every line is a settled weight; only where that is beyond doubt. */
export function speaksOnlyAtRest({ rhythm, sure }: RhythmFound): boolean {
  return rhythm === 'while-settled' && sure === 'certain';
}

/** @param change what to do to the pattern */
export function writeProfileFile(
  findings: Findings,
  describes: string,
  change: (pattern: string) => string = (pattern) => pattern,
): string {
  const { serial, ask, framing, linesPerReading, weight, layout, unit, unitWord, rhythm } = findings;
  const rest = isUnitSlot(findings.rest, unitWord) ? undefined : findings.rest;
  const words = [...(rest?.words ?? [])].filter(([word]) => word !== '');
  const blankMoves = blankUnitMoves(findings);
  const without = noStatus(findings);
  const file = {
    describes,
    serial: { baud: serial.baud, 'data bits': serial.dataBits, parity: serial.parity, 'stop bits': serial.stopBits },
    ...framingKeys(framing),
    ...(linesPerReading > 1 ? { 'lines per reading': linesPerReading } : {}),
    rhythm: rhythm.rhythm,
    'lines per second': rhythm.linesPerSecond,
    pattern: change(writePattern(layout, unitWord, rest)),
    ...(weight.mark === ',' ? { decimal: 'comma' } : {}),
    ...(words.length > 0 ? { status: Object.fromEntries(words) } : {}),
    ...(without ? { 'no status': without } : {}),
    ...(unitWord ? { units: { [unitWord.word]: unit } } : {}),
    ...(!unitWord || unitWord.isBlankAtTimes
      ? { 'no unit': { unit, ...(blankMoves ? { means: 'moving' } : {}) } }
      : {}),
    ...(ask ? { ask: { send: ask.send, ending: ask.ending, 'every ms': ask.everyMs } } : {}),
    examples: examples(findings, without, blankMoves),
  };
  return stringify(file, { lineWidth: 0 });
}

const BYTE_NAMES: Readonly<Record<string, string>> = { '\x01': 'soh', '\x02': 'stx', '\x03': 'etx', '\x04': 'eot' };

function framingKeys({ start, end, length, check }: Framing): object {
  if (start === undefined && check === undefined && typeof end === 'string') return { ending: end };
  const named = (byte: string): string | number => BYTE_NAMES[byte] ?? byte.charCodeAt(0);
  return {
    frame: {
      ...(start === undefined ? {} : { start: named(start) }),
      ...(end === undefined
        ? { length }
        : {
            end:
              typeof end === 'string' && Object.hasOwn(ENDING_TEXT, end)
                ? end
                : typeof end === 'object'
                  ? named(end.byte)
                  : end,
          }),
      ...(check ? { check: { kind: check.kind, covers: check.covers, place: check.place } } : {}),
    },
  };
}

/** A line of each kind that was heard, with what it means. */
function examples(
  findings: Findings,
  without: 'stable' | 'moving' | undefined,
  blankMoves: boolean,
): { line: string; means: string }[] {
  const { layout, unit, rest, unitWord } = findings;
  const kept = new Map<string, { line: string; means: string }>();
  const weightField = layout.fields.findIndex(({ kind }) => kind === 'weight');
  for (const [index, { reading }] of layout.readings.entries()) {
    const digits = (layout.fields[weightField]?.digits[index] ?? '').replace(',', '.');
    const isBelow = signInLayout(layout, weightField, index) === '-';
    const word = rest === undefined ? undefined : wordOf(layout, rest, index);
    const said =
      rest === undefined
        ? without
        : isUnitSlot(rest, unitWord)
          ? blankMoves
            ? word === ''
              ? 'moving'
              : 'stable'
            : undefined
          : word === undefined
            ? undefined
            : (rest.words.get(word) ?? without);
    const means = `${isBelow ? '-' : ''}${digits} ${unit}${said ? ` ${said}` : ''}`;
    const kind = `${reading.heard.moment} ${isBelow} ${said} ${Number(digits) === 0}`;
    if (kept.size < 8 && !kept.has(kind)) kept.set(kind, { line: reading.text, means });
  }
  return [...kept.values()];
}

function wordOf({ texts }: Layout, { slot }: RestFound, reading: number): string {
  const field = texts[slot.text];
  const part = field?.parts[slot.part];
  return part?.kind === 'slot' ? (part.alternatives[field?.variant[reading] ?? 0] ?? '').trim() : '';
}

function signInLayout({ fields }: Layout, weight: number, reading: number): string {
  const { before, behind } = fields[weight] ?? { before: [], behind: [] };
  return /[+-]/.exec((before[reading] ?? '') + (behind[reading] ?? ''))?.[0] ?? '';
}
