/** A port that a test plays by hand, with a record of what the link did to it. */

import type { Clock } from '../../src/link/clock.ts';
import type { OpenPort, PortEvents } from '../../src/link/port.ts';

export interface FakeOpening {
  readonly at: number;
  readonly hear: PortEvents;
  readonly written: string[];
  closed: boolean;
}

export function createFakePort(clock: Clock) {
  const openings: FakeOpening[] = [];
  const attempts: number[] = [];
  let refuse: string | undefined;
  let closeHangs = false;
  let present = true;
  const openPort: OpenPort = async (_path, _settings, hear) => {
    attempts.push(clock.now());
    if (refuse !== undefined) throw new Error(refuse);
    const opening: FakeOpening = { at: clock.now(), hear, written: [], closed: false };
    openings.push(opening);
    return {
      async write(bytes) {
        opening.written.push(typeof bytes === 'string' ? bytes : Buffer.from(bytes).toString('latin1'));
      },
      close: () => {
        opening.closed = true;
        return closeHangs ? new Promise(() => {}) : Promise.resolve();
      },
      present: async () => present,
    };
  };
  const latest = (): FakeOpening => {
    const opening = openings.at(-1);
    if (!opening) throw new Error('the link has not opened the port');
    return opening;
  };
  return {
    openPort,
    openings,
    /** When each opening was tried, also those that failed. */
    attempts,
    latest,
    /** Bytes arrive at the latest opening. */
    send: (text: string, at = latest()) => at.hear.data(Buffer.from(text, 'latin1')),
    refuseWith(message: string | undefined) {
      refuse = message;
    },
    hangOnClose() {
      closeHangs = true;
    },
    removeDevice() {
      present = false;
    },
  };
}
