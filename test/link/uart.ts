/**
 * A wire and the circuit at its end that makes bytes of levels: what a port really hears when it is set otherwise than
 * the sender. A byte goes as a start bit (low), the data bits from the lowest, a parity bit where there is one, and
 * stop bits (high); the receiver waits for the line to fall and looks at the middle of each bit by its own speed.
 */
import type { SerialSettings } from '../../src/wire/profile.ts';

/** A time at which the level of the line changes, seconds. */
interface Edge {
  readonly at: number;
  readonly high: boolean;
}

/** What becomes of a byte that came with a fault. Drivers do both. */
export interface Faults {
  /** Its stop bit is not high. */
  readonly framing: 'give' | 'drop';
  /** Its parity is wrong; the serial library leaves that unjudged, a scale may not. */
  readonly parity: 'give' | 'drop';
}

/** As the serial library sets a port up: a byte without its stop bit may be dropped by the driver. */
export const USUAL: Faults = { framing: 'drop', parity: 'give' };

/** @param gapBits quiet between two bytes, in bits of the sender */
export function asHeard(
  bytes: Uint8Array,
  sent: SerialSettings,
  heard: SerialSettings,
  faults: Faults = USUAL,
  gapBits = 0,
): Uint8Array {
  return receive(wave(bytes, sent, gapBits), heard, faults);
}

function wave(bytes: Uint8Array, { baud, dataBits, parity, stopBits }: SerialSettings, gapBits: number): Edge[] {
  const edges: Edge[] = [{ at: 0, high: true }];
  let bit = 2; // it was quiet before
  const put = (high: boolean): void => {
    if (edges.at(-1)?.high !== high) edges.push({ at: bit / baud, high });
    bit += 1;
  };
  for (const byte of bytes) {
    let ones = 0;
    put(false);
    for (let place = 0; place < dataBits; place++) {
      const one = ((byte >> place) & 1) === 1;
      if (one) ones += 1;
      put(one);
    }
    if (parity !== 'none') put((ones % 2 === 1) === (parity === 'even'));
    for (let stop = 0; stop < stopBits; stop++) put(true);
    bit += gapBits;
  }
  return edges;
}

function receive(edges: readonly Edge[], { baud, dataBits, parity }: SerialSettings, faults: Faults): Uint8Array {
  const bytes: number[] = [];
  let from = 0;
  /** Place of the first edge that is not over yet. */
  let next = 0;
  for (;;) {
    while (next < edges.length && ((edges[next]?.at ?? 0) < from || edges[next]?.high)) next += 1;
    const fall = edges[next];
    if (!fall) return Uint8Array.from(bytes);
    const middleOf = (place: number): number => fall.at + (place + 0.5) / baud;
    const isHigh = (place: number): boolean => {
      let last = next;
      while ((edges[last + 1]?.at ?? Number.POSITIVE_INFINITY) <= middleOf(place)) last += 1;
      return edges[last]?.high ?? true;
    };
    if (isHigh(0)) {
      from = middleOf(0); // too short for a start bit
      continue;
    }
    let byte = 0;
    let ones = 0;
    for (let place = 0; place < dataBits; place++) {
      if (!isHigh(1 + place)) continue;
      byte |= 1 << place;
      ones += 1;
    }
    const stopPlace = 1 + dataBits + (parity === 'none' ? 0 : 1);
    const isParityRight = parity === 'none' || isHigh(stopPlace - 1) === ((ones % 2 === 1) === (parity === 'even'));
    const isFramed = isHigh(stopPlace);
    if ((isFramed || faults.framing === 'give') && (isParityRight || faults.parity === 'give')) bytes.push(byte);
    from = middleOf(stopPlace);
  }
}
