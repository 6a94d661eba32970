/**
 * A simulated scale at the far end of a port: lets its instrument's time pass, speaks the wire profile, answers when
 * asked. The port may be a memory cable or a real serial port.
 */
import type { Instrument, Shown } from '../simulate/instrument.ts';
import { wrap } from '../wire/framing.ts';
import { LINE_JOINT } from '../wire/grouper.ts';
import type { Profile } from '../wire/profile.ts';
import { speak } from '../wire/speak.ts';
import { type Clock, realClock } from './clock.ts';
import type { OpenPort, Port } from './port.ts';

export interface SimulatedScaleSettings {
  readonly instrument: Instrument;
  readonly profile: Profile;
  readonly openPort: OpenPort;
  readonly path: string;
  readonly clock?: Clock;
  /** How often time passes, milliseconds; default 20. */
  readonly stepMs?: number;
  /** Called for every line that was sent. */
  readonly onLine?: (line: string) => void;
  /** Called when the port closes by itself. */
  readonly onLost?: (why: Error) => void;
}

export interface SimulatedScale {
  /** Opens the port. Rejects when that fails. */
  start(): Promise<void>;
  stop(): Promise<void>;
  /** While silent it shows and weighs, but sends nothing: a pulled plug on its side, a flat transmitter. */
  silent(quiet: boolean): void;
  /** While garbled, no figure of a line comes through as it was sent: a loose plug, a wrong speed. */
  garble(isGarbled: boolean): void;
  /** The next line is cut short in the middle. */
  cutNextLine(): void;
  /** Sends bytes as they are: noise. */
  sendRaw(bytes: Uint8Array | string): void;
  /** Its send key: the display's line, for profiles that send on a key. */
  pressSend(): void;
  /** How often the program has asked, for asked profiles. */
  readonly asked: number;
}

export function createSimulatedScale(settings: SimulatedScaleSettings): SimulatedScale {
  const { instrument, profile, openPort, path, clock = realClock, stepMs = 20, onLine, onLost } = settings;
  let port: Port | undefined;
  let timer: unknown;
  let quiet = false;
  let garbled = false;
  let cut = false;
  let last: string | undefined;
  let heard = '';
  let asked = 0;

  const send = (bytes: Uint8Array | string): void => {
    // A far end that can't be reached is told by `closed`; a real scale would not notice either.
    port?.write(bytes).catch(() => {});
  };
  const say = (line: string): void => {
    if (quiet) return;
    const sent = garbled ? line.replace(/[0-9]/g, '?') : line;
    const lines = profile.linesPerReading === 1 ? [sent] : sent.split(LINE_JOINT);
    const text = lines.map((each) => wrap(profile.framing, each, profile.serial.dataBits)).join('');
    send(cut ? text.slice(0, Math.ceil(line.length / 2)) : text);
    cut = false;
    onLine?.(line);
  };

  const step = (): void => {
    for (const shown of instrument.advance(clock.now())) {
      const line = speak(profile, shown);
      if (!shown.stable && profile.rhythm === 'on-settled') last = undefined; // next time it is at rest, it says so
      if (line === undefined || !saysByItself(shown, line === last)) continue;
      last = line;
      say(line);
    }
    if (!instrument.on) last = undefined;
    timer = clock.setTimeout(step, stepMs);
  };

  const saysByItself = ({ stable }: Shown, again: boolean): boolean => {
    switch (profile.rhythm) {
      case 'continuous':
        return true;
      case 'on-change':
        return !again;
      case 'on-settled':
        return stable && !again;
      case 'while-settled':
        return stable && profile.ask === undefined;
      default:
        return false;
    }
  };

  const hear = (chunk: Uint8Array): void => {
    if (!profile.ask) return;
    const between = (heard + Buffer.from(chunk).toString('latin1')).split(profile.ask.bytes);
    heard = (between.pop() ?? '').slice(-64);
    for (const _question of between) {
      asked += 1;
      answer();
    }
  };

  const answer = (): void => {
    const { shown } = instrument;
    if (shown === undefined || (profile.rhythm === 'while-settled' && !shown.stable)) return;
    const line = speak(profile, shown);
    if (line !== undefined) say(line);
  };

  return {
    async start() {
      port = await openPort(path, profile.serial, {
        data: hear,
        closed: (why) => {
          port = undefined;
          if (why) onLost?.(why);
        },
        error: () => {},
      });
      clock.clearTimeout(timer);
      instrument.advance(clock.now()); // what it showed while nobody was there is not sent late
      step();
    },
    async stop() {
      clock.clearTimeout(timer);
      const open = port;
      port = undefined;
      await open?.close();
    },
    silent(isQuiet) {
      quiet = isQuiet;
    },
    garble(isGarbled) {
      garbled = isGarbled;
    },
    cutNextLine() {
      cut = true;
    },
    sendRaw: send,
    pressSend() {
      if (profile.rhythm === 'on-key') answer();
    },
    get asked() {
      return asked;
    },
  };
}
