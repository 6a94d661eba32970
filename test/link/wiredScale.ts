/** A scale at the end of a real wire: a port that is set otherwise hears what such a port would hear. */
import type { Clock } from '../../src/link/clock.ts';
import type { OpenPort } from '../../src/link/port.ts';
import type { SerialSettings } from '../../src/wire/profile.ts';
import { asHeard, type Faults, USUAL } from './uart.ts';

export interface WiredScale {
  readonly clock: Clock;
  readonly serial: SerialSettings;
  /** Its next line, with its ending; undefined: it says nothing now. */
  readonly line: (turn: number) => string | undefined;
  /** How often it speaks by itself, milliseconds; undefined: only when asked. */
  readonly everyMs?: number;
  /** What it answers to. */
  readonly question?: string;
  /** How long it thinks before it answers, milliseconds. */
  readonly answersAfterMs?: number;
  readonly faults?: Faults;
}

export function wiredScale(scale: WiredScale) {
  const { clock, serial, line, everyMs, question, answersAfterMs = 60, faults = USUAL } = scale;
  const opened: SerialSettings[] = [];
  /** All that the scale heard, as it heard it. */
  let told = '';
  let isOpen = 0;
  let unplug = (): void => {};
  let turn = 0;
  const openPort: OpenPort = async (_path, settings, hear) => {
    if (isOpen > 0) throw new Error('Error: Resource temporarily unavailable Cannot lock port');
    isOpen += 1;
    opened.push(settings);
    let open = true;
    let timer: unknown;
    let asked = '';
    const say = (): void => {
      const text = line(turn);
      turn += 1;
      if (!open || text === undefined) return;
      const heard = asHeard(Buffer.from(text, 'latin1'), serial, settings, faults);
      // As from a real port, a line comes in pieces.
      const cut = (turn * 5) % (heard.length + 1);
      if (cut > 0) hear.data(heard.subarray(0, cut));
      if (cut === heard.length) return;
      clock.setTimeout(() => {
        if (open) hear.data(heard.subarray(cut));
      }, 6);
    };
    const speak = (): void => {
      say();
      if (everyMs !== undefined) timer = clock.setTimeout(speak, everyMs);
    };
    if (everyMs !== undefined) timer = clock.setTimeout(speak, everyMs);
    const end = (why: Error | null): void => {
      if (!open) return;
      open = false;
      isOpen -= 1;
      clock.clearTimeout(timer);
      hear.closed(why);
    };
    unplug = () => end(Object.assign(new Error('bad file descriptor'), { disconnected: true }));
    return {
      async write(bytes) {
        const sent = typeof bytes === 'string' ? Buffer.from(bytes, 'latin1') : bytes;
        const heard = asHeard(sent, settings, serial, { framing: 'drop', parity: 'drop' });
        const text = Buffer.from(heard).toString('latin1');
        told += text;
        asked = (asked + text).slice(-20);
        if (question === undefined || !asked.endsWith(question)) return;
        asked = '';
        clock.setTimeout(say, answersAfterMs);
      },
      close: async () => end(null),
    };
  };
  return {
    openPort,
    /** What each opening was set to. */
    opened,
    unplug: () => unplug(),
    get told() {
      return told;
    },
  };
}
