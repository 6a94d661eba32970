/** Frames that nothing sets apart but pauses: how long they are, and where they begin. */
import { latin1 } from './bytes.ts';
import type { Heard } from './model.ts';

const SHORTEST = 5;
const LONGEST = 100;
/** So much of a frame must look as in the one before. */
const LEAST_LIKE = 0.8;
/** So much more waiting must lie before the first bytes of frames than before any others. */
const CLEARLY = 2.5;
/** And each time so much, milliseconds. */
const LEAST_WAIT = 10;

/** Nothing for so long: what comes next begins a frame, milliseconds. */
export const QUIET = 60;

export interface Burst {
  readonly text: string;
  /** When it began to arrive. */
  readonly began: number;
  /** When its last bytes arrived. */
  readonly at: number;
}

/** The length of the frames; undefined when nothing comes again, or no pause shows where a frame begins. */
export function findFrameLength(heard: readonly Heard[]): number | undefined {
  const bursts = heard.flatMap(burstsOf).map(({ text }) => text);
  const counts = new Map<number, number>();
  for (const burst of bursts) counts.set(burst.length, (counts.get(burst.length) ?? 0) + 1);
  const [usual, times] = [...counts].sort((a, b) => b[1] - a[1])[0] ?? [0, 0];
  // Bursts cut short by the beginning or the end of a moment are no frames; all others must be.
  if (times >= 4 && times >= bursts.length - 2 * heard.length && areFrames(bursts, usual)) return usual;
  const repeated = repeatedLength(heard);
  if (repeated === undefined) return undefined;
  const frames = heard.flatMap((each) => cutFrames(each, repeated)).map(({ text }) => text);
  const [first, ...others] = heard.map(({ pieces }) => pieces.reduce((sum, { bytes }) => sum + bytes.length, 0));
  const all = others.reduce((sum, each) => sum + each, first ?? 0);
  return frames.length * repeated > 0.8 * all - 2 * repeated * heard.length && areFrames(frames, repeated)
    ? repeated
    : undefined;
}

function areFrames(texts: readonly string[], length: number): boolean {
  if (length < SHORTEST || length > LONGEST) return false;
  const frames = texts.filter((text) => text.length === length);
  const alike = frames.slice(1).map((frame, index) => likeness(frames[index] ?? '', frame));
  return alike.length >= 3 && mean(alike) >= LEAST_LIKE;
}

/** Cuts one moment into frames of this length, each beginning where most of the waiting was; none when that is unclear. */
export function cutFrames(heard: Heard, length: number): Burst[] {
  const bytes = bytesOf(heard);
  const whole = wholeFrames(burstsOf(heard), heard, length);
  if (whole) return whole;
  const waiting = new Array<number>(length).fill(0);
  const usual = middle(bytes.map(({ waited }) => waited).filter((waited) => waited > 0));
  for (const [place, { waited }] of bytes.entries()) {
    if (place > 0) waiting[place % length] = (waiting[place % length] ?? 0) + Math.max(0, waited - 1.5 * usual);
  }
  const most = Math.max(...waiting);
  if (waiting.filter((each) => each * CLEARLY >= most).length > 1 || most < (LEAST_WAIT * bytes.length) / length)
    return [];
  const frames: Burst[] = [];
  for (let from = waiting.indexOf(most); from + length <= bytes.length; from += length) {
    const frame = bytes.slice(from, from + length);
    frames.push({ text: frame.map(({ char }) => char).join(''), began: frame[0]?.at ?? 0, at: frame.at(-1)?.at ?? 0 });
  }
  return frames;
}

/** One or several frames in each burst; undefined when a burst begins or ends within a frame. */
function wholeFrames(bursts: readonly Burst[], { began }: Heard, length: number): Burst[] | undefined {
  const frames: Burst[] = [];
  for (const [index, { text, ...times }] of bursts.entries()) {
    const rest = text.length % length;
    // The first may have begun before the moment did, and the last goes on after it.
    const isCutBefore = index === 0 && times.began - began < QUIET;
    if (rest !== 0 && !isCutBefore && index < bursts.length - 1) return undefined;
    if (isCutBefore && index === bursts.length - 1) return undefined;
    for (let from = isCutBefore ? rest : 0; from + length <= text.length; from += length) {
      frames.push({ text: text.slice(from, from + length), ...times });
    }
  }
  return frames;
}

interface Byte {
  readonly char: string;
  readonly at: number;
  /** Since the byte before it. */
  readonly waited: number;
}

function bytesOf({ pieces, began }: Heard): Byte[] {
  let before = began;
  return pieces.flatMap(({ bytes, at }) =>
    [...bytes].map((code) => {
      const waited = at - before;
      before = at;
      return { char: String.fromCharCode(code), at, waited };
    }),
  );
}

/** So many bytes show what comes again. */
const ENOUGH = 2000;

/** After how many bytes what comes comes again. */
function repeatedLength(heard: readonly Heard[]): number | undefined {
  const texts = heard.map(({ pieces }) =>
    pieces
      .map(({ bytes }) => latin1(bytes))
      .join('')
      .slice(-ENOUGH),
  );
  const shares: number[] = [];
  for (let length = SHORTEST; length <= LONGEST; length++) {
    const alike = texts
      .filter((text) => text.length > 2 * length)
      .map((text) => likeness(text.slice(0, -length), text.slice(length)));
    shares.push(mean(alike));
  }
  const best = Math.max(...shares);
  const first = shares.findIndex((share) => share >= best - 0.02);
  return best < LEAST_LIKE || first === -1 ? undefined : first + SHORTEST;
}

/** What came without a pause. */
export function burstsOf({ pieces }: Heard): Burst[] {
  const gaps = pieces.slice(1).map((piece, index) => piece.at - (pieces[index]?.at ?? 0));
  const longest = [...gaps].sort((a, b) => a - b)[Math.floor(gaps.length * 0.95)] ?? 0;
  const pause = Math.max(25, Math.min(200, longest * 0.5));
  const bursts: Burst[] = [];
  for (const { bytes, at } of pieces) {
    const text = latin1(bytes);
    const open = bursts.at(-1);
    if (open === undefined || at - open.at > pause) bursts.push({ text, began: at, at });
    else bursts[bursts.length - 1] = { text: open.text + text, began: open.began, at };
  }
  return bursts;
}

function likeness(a: string, b: string): number {
  let same = 0;
  for (let place = 0; place < a.length; place++) if (classOf(a[place]) === classOf(b[place])) same += 1;
  return a.length === 0 ? 0 : same / a.length;
}

function classOf(char: string | undefined): string | undefined {
  return char !== undefined && /[\d +-]/.test(char) ? '0' : char;
}

function mean(values: readonly number[]): number {
  return values.length === 0 ? 0 : values.reduce((sum, each) => sum + each, 0) / values.length;
}

function middle(values: readonly number[]): number {
  return [...values].sort((a, b) => a - b)[Math.floor(values.length / 2)] ?? 0;
}
