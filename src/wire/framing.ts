/** How a line is held together on the wire: what comes before and after its text, and the check bytes. */

/** What ends a line: carriage return and line feed, line feed alone, carriage return alone. */
export type Ending = 'crlf' | 'lf' | 'cr';

/** The bytes of each ending. */
export const ENDING_TEXT: Readonly<Record<Ending, string>> = { crlf: '\r\n', lf: '\n', cr: '\r' };

/** Which part of a frame its check is counted over. */
export type Covers = 'text' | 'text and end' | 'start and text' | 'all';

/**
 * Bytes by which a frame proves itself. `xor`: all bytes combined by exclusive or; `sum`: added up, modulo 256; each
 * as one byte, or as two hexadecimal digits. `ignored`: they are there, but how they are counted is not known.
 */
export interface Check {
  readonly kind: 'xor' | 'sum' | 'xor hex' | 'sum hex' | 'ignored';
  readonly covers: Covers;
  readonly place: 'before end' | 'after end';
  /** How many characters it takes. */
  readonly length: number;
}

/** Bytes are characters of Latin-1 here: what comes in is kept as it came. */
export interface Framing {
  /** The byte that opens a frame; undefined: a frame begins where the last one ended. */
  readonly start: string | undefined;
  /** An ending of lines, or one closing byte; undefined: frames have a fixed length. */
  readonly end: Ending | { readonly byte: string } | undefined;
  /** Characters from after `start` to the frame's end, for frames without an end. */
  readonly length: number | undefined;
  readonly check: Check | undefined;
}

/** Plain lines. */
export function linesEndedBy(end: Ending): Framing {
  return { start: undefined, end, length: undefined, check: undefined };
}

/** The bytes that end a frame. */
export function endText({ end }: Pick<Framing, 'end'>): string {
  if (end === undefined) return '';
  return typeof end === 'string' ? ENDING_TEXT[end] : end.byte;
}

/** A text as it goes over the wire. @param dataBits with 7 of them a check loses its eighth bit */
export function wrap(framing: Framing, text: string, dataBits: 7 | 8): string {
  const { start = '', check } = framing;
  const proof = check === undefined ? '' : (proofOf(framing, check, text, dataBits) ?? '?'.repeat(check.length));
  const end = endText(framing);
  return start + text + (check?.place === 'after end' ? end + proof : proof + end);
}

/**
 * The text of a received frame, once its check was proved.
 * @param body what stood between start and end
 * @param tail what came after the end and belongs to the frame
 */
export function unwrap(
  framing: Framing,
  body: string,
  tail: string,
  dataBits: 7 | 8,
): { readonly text: string; readonly fault: string | undefined } {
  const { check } = framing;
  if (check === undefined) return { text: body, fault: undefined };
  const cut = check.place === 'after end' ? body.length : body.length - check.length;
  if (cut < 0) return { text: body, fault: 'the line is shorter than its check' };
  const text = body.slice(0, cut);
  const came = check.place === 'after end' ? tail : body.slice(cut);
  const proof = proofOf(framing, check, text, dataBits);
  const agrees = proof === undefined || proof === (check.kind.endsWith('hex') ? came.toUpperCase() : came);
  return { text, fault: agrees ? undefined : 'its check bytes do not agree: damaged on the way' };
}

function proofOf(framing: Framing, check: Check, text: string, dataBits: 7 | 8): string | undefined {
  if (check.kind === 'ignored') return undefined;
  return proofText(check.kind, coveredText(framing, check.covers, text), dataBits);
}

function coveredText(framing: Framing, covers: Covers, text: string): string {
  const before = covers === 'all' || covers === 'start and text' ? (framing.start ?? '') : '';
  const after = covers === 'all' || covers === 'text and end' ? endText(framing) : '';
  return before + text + after;
}

function proofText(kind: Exclude<Check['kind'], 'ignored'>, covered: string, dataBits: 7 | 8): string {
  let value = 0;
  for (let place = 0; place < covered.length; place++) {
    const byte = covered.charCodeAt(place);
    value = kind === 'xor' || kind === 'xor hex' ? value ^ byte : value + byte;
  }
  if (kind === 'xor' || kind === 'sum') return String.fromCharCode(value & (dataBits === 7 ? 0x7f : 0xff));
  return (value & 0xff).toString(16).toUpperCase().padStart(2, '0');
}
