/** Tells what a scanner types from what a hand presses. */
import type { Pressed } from '../../screen/view.ts';

/** Between a scanner's last character and its Enter there is less; a hand needs longer. */
export const SCANNERS_ENTER_MS = 300;

/** A label has at least so many different characters. */
const LEAST_CHARACTERS = 3;

/**
 * @returns for each input: a label, a key, or the Enter that many scanners end with. That is part of the label: it must
 *   not accept a weight.
 */
export function createScanGate(): (input: Pressed, at: number) => 'label' | 'held' | 'its-end' | 'key' {
  let scannedAt = Number.NEGATIVE_INFINITY;
  return (input, at) => {
    if ('paste' in input) {
      // Keys that are held down come several at once too.
      if (new Set(input.paste).size < LEAST_CHARACTERS) return 'held';
      scannedAt = at;
      return 'label';
    }
    const isEnd = input.key === 'enter' && at - scannedAt < SCANNERS_ENTER_MS;
    scannedAt = Number.NEGATIVE_INFINITY;
    return isEnd ? 'its-end' : 'key';
  };
}
