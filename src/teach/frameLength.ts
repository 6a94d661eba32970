/** Frames that nothing sets apart but pauses: how long they are. */
import type { Heard } from './model.ts';

const SHORTEST = 5;
const LONGEST = 100;
/** So much of a frame must look as in the one before. */
const LEAST_LIKE = 0.8;

/** The length of the frames; undefined when nothing comes again, or no pause shows where a frame begins. */
export function findFrameLength(heard: readonly Heard[]): number | undefined {
  const bursts = heard.flatMap(burstsOf).map(({ text }) => text);
  const counts = new Map<number, number>();
  for (const burst of bursts) counts.set(burst.length, (counts.get(burst.length) ?? 0) + 1);
  const [usual, times] = [...counts].sort((a, b) => b[1] - a[1])[0] ?? [0, 0];
  if (usual < SHORTEST || usual > LONGEST || times < 4) return undefined;
  // Bursts cut short by the beginning or the end of a moment are no frames; all others must be.
  if (times < bursts.length - 2 * heard.length) return undefined;
  const frames = bursts.filter((burst) => burst.length === usual);
  const alike = frames.slice(1).map((frame, index) => likeness(frames[index] ?? '', frame));
  return alike.every((share) => share >= LEAST_LIKE / 2) && mean(alike) >= LEAST_LIKE ? usual : undefined;
}

export interface Burst {
  readonly text: string;
  /** When it began to arrive. */
  readonly began: number;
  /** When its last bytes arrived. */
  readonly at: number;
}

/** What came without a pause. */
export function burstsOf({ pieces }: Heard): Burst[] {
  const gaps = pieces.slice(1).map((piece, index) => piece.at - (pieces[index]?.at ?? 0));
  const longest = [...gaps].sort((a, b) => a - b)[Math.floor(gaps.length * 0.95)] ?? 0;
  const pause = Math.max(25, Math.min(200, longest * 0.5));
  const bursts: Burst[] = [];
  for (const { bytes, at } of pieces) {
    const text = String.fromCharCode(...bytes);
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
