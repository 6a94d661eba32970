/** Cuts what arrives into frames: at line endings, at start and end bytes, or by length. */
import { type Framing, unwrap } from './framing.ts';
import type { Line, Received } from './receiver.ts';

/** More bytes than any scale sends in one line. */
export const MOST_BYTES_WITHOUT_LINE = 4096;

export interface Cutter {
  push(text: string, at: number): void;
  /** What comes next begins a frame. */
  begin(): void;
}

type Tell = (line: Line) => void;
type Noise = (at: number) => void;

export function createCutter(profile: Received, tell: Tell, noise: Noise): Cutter {
  const { framing, serial, pattern } = profile;
  // Scales differ from their manuals in which of the two ends a line, so the other one is left out. Beside a check
  // only one byte is: the check itself may look like an ending.
  const otherEnd = framing.check === undefined ? /^[\r\n]+|[\r\n]+$/g : framing.end === 'cr' ? /^\n/ : /\r$/;
  const frame: Frame = (body, tail, began, at) => {
    const bare = typeof framing.end === 'string' ? body.replace(otherEnd, '') : body;
    if (bare === '' && tail === '') return;
    tell({ ...unwrap(framing, bare, tail, serial.dataBits), began, at });
  };
  if (framing.start !== undefined) return betweenBytes(framing, framing.start, frame, noise);
  if (framing.length !== undefined) {
    const fits = (body: string): boolean => {
      const { text, fault } = unwrap(framing, body, '', serial.dataBits);
      return fault === undefined && pattern.test(text);
    };
    return byLength(framing.length, fits, frame, noise);
  }
  return atEnds(endByte(framing), frame, noise);
}

type Frame = (body: string, tail: string, began: number, at: number) => void;

/** The byte that closes a frame. */
function endByte({ end }: Framing): string {
  if (typeof end === 'object') return end.byte;
  return end === 'cr' ? '\r' : '\n';
}

function atEnds(end: string, frame: Frame, noise: Noise): Cutter {
  let waiting = '';
  let began = 0;
  /** Up to the next end: after the opening, and after noise. */
  let skipping = true;
  return {
    begin() {
      waiting = '';
      skipping = false;
    },
    push(text, at) {
      if (!/[^\r\n]/.test(waiting)) began = at; // the rest of an ending begins no line
      let from = 0;
      for (let to = text.indexOf(end); to !== -1; to = text.indexOf(end, from)) {
        const body = waiting + text.slice(from, to);
        if (body.length > MOST_BYTES_WITHOUT_LINE) noise(at);
        else if (!skipping) frame(body, '', began, at);
        waiting = '';
        began = at;
        skipping = false;
        from = to + 1;
      }
      waiting += text.slice(from);
      if (waiting.length <= MOST_BYTES_WITHOUT_LINE) return;
      waiting = '';
      skipping = true;
      noise(at);
    },
  };
}

function betweenBytes(framing: Framing, start: string, frame: Frame, noise: Noise): Cutter {
  const end = endByte(framing);
  const { length } = framing;
  const tailLength = framing.check?.place === 'after end' ? framing.check.length : 0;
  /** From after the start byte; undefined outside a frame. */
  let inside: string | undefined;
  let began = 0;
  let outside = 0;

  /** Takes the frame at the beginning of `inside`, if it is complete. @returns what follows it */
  const take = (at: number): string | undefined => {
    if (inside === undefined) return undefined;
    const bodyEnd = length ?? inside.indexOf(end);
    // The text holds no start byte: what stood before one was cut short.
    const again = inside.lastIndexOf(start, bodyEnd === -1 ? inside.length : bodyEnd - 1);
    if (again !== -1) return inside.slice(again);
    const endLength = length === undefined ? 1 : 0;
    const frameEnd = bodyEnd + endLength + tailLength;
    if (bodyEnd === -1 || inside.length < frameEnd) return undefined;
    frame(inside.slice(0, bodyEnd), inside.slice(bodyEnd + endLength, frameEnd), began, at);
    return inside.slice(frameEnd);
  };

  return {
    begin() {
      inside = undefined;
    },
    push(text, at) {
      let rest: string | undefined = text;
      while (rest !== undefined) {
        if (inside === undefined) {
          const from: number = rest.indexOf(start);
          outside += from === -1 ? rest.length : from;
          if (outside > MOST_BYTES_WITHOUT_LINE) {
            outside = 0;
            noise(at);
          }
          if (from === -1) return;
          rest = rest.slice(from + 1);
          began = at;
        }
        inside = (inside ?? '') + rest;
        rest = take(at);
        if (rest !== undefined) {
          inside = undefined;
          outside = 0;
        }
      }
      if (inside === undefined || inside.length <= MOST_BYTES_WITHOUT_LINE) return;
      inside = undefined;
      noise(at);
    },
  };
}

/**
 * Frames that nothing sets apart. The cut is right where a whole frame fits the pattern and the next one too; while it
 * is right, each further frame must fit.
 */
function byLength(length: number, fits: (body: string) => boolean, frame: Frame, noise: Noise): Cutter {
  /** What waits to be cut, and when each piece of it arrived. */
  let waiting = '';
  let arrivals: { readonly upTo: number; readonly at: number }[] = [];
  let inStep = false;
  let lost = 0;

  const arrivedAt = (place: number): number => arrivals.find(({ upTo }) => upTo >= place)?.at ?? 0;
  const drop = (count: number): void => {
    waiting = waiting.slice(count);
    arrivals = arrivals.flatMap(({ upTo, at }) => (upTo > count ? [{ upTo: upTo - count, at }] : []));
  };

  return {
    begin() {
      waiting = '';
      arrivals = [];
      inStep = true;
    },
    push(text, at) {
      waiting += text;
      arrivals.push({ upTo: waiting.length, at });
      while (waiting.length >= (inStep ? length : 2 * length)) {
        const body = waiting.slice(0, length);
        if (fits(body) && (inStep || fits(waiting.slice(length, 2 * length)))) {
          inStep = true;
          lost = 0;
          frame(body, '', arrivedAt(1), arrivedAt(length));
          drop(length);
          continue;
        }
        if (inStep) frame(body, '', arrivedAt(1), arrivedAt(length)); // told once, to be refused; then the cut is looked for anew
        inStep = false;
        lost += 1;
        drop(1);
        if (lost > MOST_BYTES_WITHOUT_LINE) {
          lost = 0;
          noise(at);
        }
      }
    },
  };
}
