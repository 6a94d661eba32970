/** The first part of teaching: finding the port's settings, and what a silent scale answers to. */
import { ASKED_AT, findAsk } from '../../link/listenAsk.ts';
import { EIGHT_BITS, findSettings } from '../../link/listenSettings.ts';
import type { OpenPort } from '../../link/port.ts';
import type { Clock } from '../../signal/clock.ts';
import type { AskCommand } from '../../teach/model.ts';
import type { SerialSettings } from '../../wire/profile.ts';
import { Ending, EXIT } from '../exit.ts';
import type { TeachTalk } from './scaleTeachTalk.ts';
import { NOTHING_WRITTEN, portEnding } from './scaleTeachTrouble.ts';

export interface TeachPort {
  readonly path: string;
  /** The path as it may be printed. */
  readonly shown: string;
  readonly openPort: OpenPort;
  readonly clock: Clock;
  /** Its settings are made elsewhere, in the network box. */
  readonly isTcp: boolean;
}

export interface FoundLine {
  readonly serial: SerialSettings;
  readonly ask: AskCommand | undefined;
}

/** A scale that speaks by itself is heard within so long at each speed, milliseconds. */
const LISTEN_MS = 1200;
/** So long where it speaks only on what the maker does. */
const STIRRED_MS = 6000;

/** @throws Ending with a sentence when nothing is heard that can be learnt; `Left` when the maker leaves */
export async function findLine(port: TeachPort, talk: TeachTalk): Promise<FoundLine> {
  try {
    const { serial, ask, noiseAt = [] } = await listened(port, talk);
    // A parity bit that the network box hands on can be taken away only there.
    if (port.isTcp && serial.dataBits === 7) throw new Ending(EXIT.noScale, noiseSay(port));
    const noise = noiseAt.length === 0 ? '' : ` (At ${noiseAt.join(', ')} baud it was noise.)`;
    talk.say(port.isTcp ? 'It speaks.' : `It speaks: ${settingsInWords(serial)}.${noise}`);
    return { serial, ask };
  } catch (error) {
    throw portEnding(error, port.shown);
  }
}

async function listened(port: TeachPort, talk: TeachTalk): Promise<FoundLine & { noiseAt?: readonly number[] }> {
  const { shown, isTcp } = port;
  const settings = isTcp ? EIGHT_BITS.slice(0, 1) : EIGHT_BITS;
  talk.say(
    isTcp
      ? `Listening on ${shown}.`
      : `Listening on ${shown} at the usual speeds; that takes up to ${Math.round((LISTEN_MS * 2 * settings.length) / 1000)} seconds.`,
  );
  const first = await talk.during((signal) =>
    findSettings({ ...port, settings, patienceMs: isTcp ? STIRRED_MS : LISTEN_MS, signal }),
  );
  if (first.kind === 'text') return { ...first, ask: undefined };

  await talk.ask(
    `${first.kind === 'silent' ? 'Nothing has come.' : 'What has come so far is not the text of a scale.'} Some scales send only when the display changes or has come to rest, or when a key is pressed on them. Put something on the pan and take it off, again and again; if it has a key that sends or prints, press it each time. Press Enter when you have begun, and go on until you are told.`,
  );
  talk.say('Listening at each speed in turn. (Enter: there is nothing to hear)');
  const second = await talk.during(
    (signal) => findSettings({ ...port, settings, patienceMs: STIRRED_MS, signal }),
    true,
  );
  if (second.kind === 'text') {
    talk.say('Heard. You can stop now.');
    return { ...second, ask: undefined };
  }
  if (second.kind === 'noise') throw new Ending(EXIT.noScale, noiseSay(port));

  const may = await talk.ask(
    'Still nothing: it may be a scale that speaks only when it is asked. Take everything off the pan. Then short questions are sent to it (single letters such as W or P), none of which zeroes, tares or sets anything on usual scales. (Enter: ask it; n: leave it alone)',
  );
  if (/^n/i.test(may)) throw new Ending(EXIT.noScale, silentSay(shown));
  talk.say(isTcp ? 'Asking.' : 'Asking at the usual speeds; that takes up to two minutes. (q leaves)');
  const asked = await talk.during((signal) =>
    findAsk({ ...port, settings: isTcp ? ASKED_AT.slice(0, 1) : ASKED_AT, signal }),
  );
  if (!asked) throw new Ending(EXIT.noScale, silentSay(shown));
  talk.say(`It answers to ${questionInWords(asked.ask)}.`);
  return asked;
}

const PARITY = { none: 'no parity', even: 'even parity', odd: 'odd parity' } as const;

export function settingsInWords({ baud, dataBits, parity, stopBits }: SerialSettings): string {
  return `${baud} baud, ${dataBits} data bits, ${PARITY[parity]}, ${stopBits} stop bit${stopBits === 1 ? '' : 's'}`;
}

function questionInWords({ send, ending }: AskCommand): string {
  const name = send === '\x05' ? 'the enquiry character (ENQ)' : `"${send}"`;
  const then = { none: '', cr: ' and CR', lf: ' and LF', crlf: ' and CR LF' } as const;
  return name + then[ending];
}

function silentSay(path: string): string {
  return `The scale on ${path} says nothing. Is it switched on, and is sending switched on in its menu? Does its cable need to be a crossed one (null modem)? Is it this port? "bismar scale list" shows the ports there are. ${NOTHING_WRITTEN}`;
}

function noiseSay({ shown, isTcp }: TeachPort): string {
  return isTcp
    ? `Bytes come from ${shown}, but they are not the text of a scale. Set the speed, data bits and parity of the scale in the network box, and teach again. ${NOTHING_WRITTEN}`
    : `Bytes come on ${shown}, but at no usual speed are they the text of a scale. Is the scale on this port? Look in its menu for its speed and for an output of plain text (ASCII), look at the cable, and teach again. ${NOTHING_WRITTEN}`;
}
