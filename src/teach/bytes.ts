/** Bytes as text, and no more of them than a scale sends. */
import type { Evidence, Heard, Piece } from './model.ts';

/** More than any scale sends in one moment. */
const MOST_BYTES = 40_000;

/** Each byte as one character. */
export function latin1(bytes: Uint8Array): string {
  let text = '';
  for (const byte of bytes) text += String.fromCharCode(byte);
  return text;
}

/** The evidence without what came beyond all bounds. */
export function bounded(evidence: Evidence): Evidence {
  const isTooMuch = ({ pieces }: Heard): boolean =>
    pieces.reduce((sum, { bytes }) => sum + bytes.length, 0) > MOST_BYTES;
  if (!evidence.heard.some(isTooMuch)) return evidence;
  return { ...evidence, heard: evidence.heard.map((each) => ({ ...each, pieces: latest(each.pieces) })) };
}

/** The latest pieces that fit. */
function latest(pieces: readonly Piece[]): Piece[] {
  const kept: Piece[] = [];
  let room = MOST_BYTES;
  for (const { bytes, at } of pieces.toReversed()) {
    if (room <= 0) break;
    kept.push({ bytes: bytes.slice(-room), at });
    room -= bytes.length;
  }
  return kept.reverse();
}
