/** How lines are held together: found by trying every framing on what was heard. */

import { type Check, type Covers, endText, type Framing, wrap } from '../wire/framing.ts';
import type { SerialSettings } from '../wire/profile.ts';
import { createReceiver, type Line, type Received } from '../wire/receiver.ts';
import { latin1 } from './bytes.ts';
import { findFrameLength, QUIET } from './frameLength.ts';
import type { Heard } from './model.ts';

export interface FramingFound {
  readonly framing: Framing;
  /** In how many different lines the check agreed; 0 without one. */
  readonly checked: number;
}

/** So many different lines must agree with a check before it is believed, and it must have had so many values. */
const FEWEST_CHECKED = 4;
const FEWEST_VALUES = 2;
/** This share of all bytes must be inside of frames. */
const LEAST_COVER = 0.9;
/** Raw check bytes may look like an end byte, and spoil all lines of one weight. */
const MOST_FAULTS = 0.3;
const PRINTABLE = /^[\x20-\x7e\t]+$/;
const ANYTHING = /^[\x00-\xff]*$/;

/** What nearly all bytes fit; undefined: nothing does. A framing whose check agrees comes first. */
export function findFraming(heard: readonly Heard[], serial: SerialSettings): FramingFound | undefined {
  const present = new Set(heard.flatMap(({ pieces }) => pieces.flatMap(({ bytes }) => [...bytes])));
  const plain = framings(present).filter((framing) => mayFit(framing, heard, serial));
  for (const framing of plain) {
    for (const check of checks(framing)) {
      const checked = agreement({ ...framing, check }, heard, serial);
      if (checked >= FEWEST_CHECKED) return { framing: { ...framing, check }, checked };
    }
  }
  const clean = plain.find((framing) => isClean(framing, heard, serial));
  if (clean) return { framing: clean, checked: 0 };
  // Frames without an end are text alone: a control byte would be a part of a framing that was not understood.
  if (![...present].every((code) => PRINTABLE.test(String.fromCharCode(code)))) return undefined;
  const length = findFrameLength(heard);
  if (length === undefined) return undefined;
  return { framing: { start: undefined, end: undefined, length, check: undefined }, checked: 0 };
}

/** The lines of one moment as this framing cuts them. */
export function cutLines(framing: Framing, heard: Heard, serial: SerialSettings): Line[] {
  return receive({ framing, serial, linesPerReading: 1, linesPerSecond: 10, pattern: ANYTHING }, heard);
}

/** What a receiver makes of one moment; it knows whether the moment began in mid-line. */
export function receive(profile: Received, { pieces, began }: Heard): Line[] {
  const lines: Line[] = [];
  const receiver = createReceiver(
    profile,
    (line) => lines.push(line),
    () => {},
  );
  if ((pieces[0]?.at ?? 0) - began > QUIET) receiver.begin();
  for (const { bytes, at } of pieces) receiver.write(bytes, at);
  return lines;
}

/** Start and end bytes that came, those with a start byte first. */
function framings(present: ReadonlySet<number>): Framing[] {
  const has = (code: number): boolean => present.has(code);
  const starts = [1, 2].filter(has).map((code) => String.fromCharCode(code));
  const bytes = [3, 4].filter(has).map((code) => ({ byte: String.fromCharCode(code) }));
  const endings = [
    ...(has(13) && has(10) ? ['crlf' as const] : []),
    ...(has(10) ? ['lf' as const] : []),
    ...(has(13) ? ['cr' as const] : []),
  ];
  const ends: Framing['end'][] = [...bytes, ...endings];
  return [...starts, undefined].flatMap((start) =>
    ends.map((end) => ({ start, end, length: undefined, check: undefined })),
  );
}

function checks(framing: Framing): Check[] {
  const places: Check['place'][] = framing.start === undefined ? ['before end'] : ['before end', 'after end'];
  const covers: Covers[] =
    framing.start === undefined ? ['text', 'text and end'] : ['text', 'text and end', 'start and text', 'all'];
  const kinds = ['xor hex', 'sum hex', 'xor', 'sum'] as const;
  return places.flatMap((place) =>
    kinds.flatMap((kind) =>
      covers.map((each) => ({ kind, covers: each, place, length: kind.endsWith('hex') ? 2 : 1 })),
    ),
  );
}

/** Whether bytes end as this framing says, and as often as it must be for lines. */
function mayFit(framing: Framing, heard: readonly Heard[], serial: SerialSettings): boolean {
  const { start, end } = framing;
  if (end === 'lf' || end === 'cr' || end === 'crlf') {
    const all = heard.map(textOf).join(' ');
    const count = (part: string): number => all.split(part).length - 1;
    const ends = { crlf: count('\r\n'), lf: count('\n'), cr: count('\r') };
    const isBoth = ends.crlf > 0.9 * Math.max(ends.lf, ends.cr) && ends.crlf > 0;
    if (end === 'crlf' ? !isBoth : isBoth) return false;
  }
  const lines = heard.flatMap((each) => cutLines(framing, each, serial));
  if (lines.length === 0) return false;
  return start === undefined || cover(framing, lines, heard) >= LEAST_COVER - 0.1;
}

function textOf({ pieces }: Heard): string {
  return pieces.map(({ bytes }) => latin1(bytes)).join('');
}

function cover(framing: Framing, lines: readonly Line[], heard: readonly Heard[]): number {
  const { start = '', check } = framing;
  const around = start.length + endText(framing).length + (check?.length ?? 0);
  const inLines = lines.reduce((sum, { text }) => sum + text.length + around, 0);
  // At each end of a moment a line may have been cut.
  const longest = lines.reduce((most, { text }) => Math.max(most, text.length + around), 0);
  const all = heard.reduce((sum, each) => sum + Math.max(0, textOf(each).length - 2 * longest), 0);
  return all === 0 ? 1 : inLines / all;
}

/** In how many different lines the check agrees; 0 when it fails in more than a few. */
function agreement(framing: Framing, heard: readonly Heard[], serial: SerialSettings): number {
  const good = new Set<string>();
  let faults = 0;
  let count = 0;
  for (const each of heard) {
    for (const { text, fault } of cutLines(framing, each, serial)) {
      count += 1;
      if (fault === undefined && PRINTABLE.test(text)) good.add(text);
      else faults += 1;
      // A raw check byte that looks like an ending spoils a line now and then; anything more is no check.
      if (faults > 3 && faults > MOST_FAULTS * count) return 0;
    }
  }
  const values = new Set(
    [...good].map((text) => wrap(framing, text, serial.dataBits).slice(text.length + (framing.start ?? '').length)),
  );
  return faults <= Math.max(1, MOST_FAULTS * count) && values.size >= FEWEST_VALUES ? good.size : 0;
}

function isClean(framing: Framing, heard: readonly Heard[], serial: SerialSettings): boolean {
  const lines = heard.flatMap((each) => cutLines(framing, each, serial));
  if (!lines.every(({ text }) => PRINTABLE.test(text))) return false;
  return framing.start === undefined || cover(framing, lines, heard) >= LEAST_COVER;
}
