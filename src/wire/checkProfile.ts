/** Looks a wire profile over, for whoever writes one: what its examples mean by it, or all that is wrong. */
import { printProblems } from '../workshop/problems.ts';
import { decode } from './decode.ts';
import { inWords } from './example.ts';
import { endText, type Framing } from './framing.ts';
import type { Profile } from './profile.ts';
import { examplesOf, readProfile } from './readProfile.ts';

/**
 * @param id the profile's id: the file's name without its ending
 * @param file the name to show
 * @returns whether it is good, and lines to print
 */
export function checkProfile(
  id: string,
  file: string,
  text: string,
): { readonly ok: boolean; readonly lines: readonly string[] } {
  const result = readProfile(id, file, text);
  if (!result.ok) {
    const count = result.problems.length;
    const said = count === 1 ? 'One thing is wrong' : `${count} things are wrong`;
    return { ok: false, lines: [...printProblems(result.problems).split('\n'), `${said} with this wire profile.`] };
  }
  const { profile } = result;
  const examples = examplesOf(text).map(({ line }) => {
    const decoded = decode(profile, line, 0);
    const raw = decoded.kind === 'reading' ? decoded.reading.raw : decoded.raw;
    return `  ${raw.padEnd(28)}  ${inWords(decoded)}`;
  });
  return {
    ok: true,
    lines: [
      `OK: the wire profile "${id}".`,
      `  ${settingsInWords(profile)}`,
      'Its examples mean:',
      ...examples,
      ...(profile.writes ? [] : ['It has no `writes`, so no simulated scale can speak it.']),
    ],
  };
}

const RHYTHMS: Readonly<Record<Profile['rhythm'], string>> = {
  continuous: 'all the time',
  'on-change': 'on every change of the display',
  asked: 'when asked',
  'on-settled': 'once each time it has come to rest',
  'while-settled': 'only while it is at rest',
  'on-key': 'when a key is pressed on it',
};

/** Settings, framing and rhythm in one line. */
export function settingsInWords({ serial, framing, linesPerReading, rhythm }: Profile): string {
  const { baud, dataBits, parity, stopBits } = serial;
  const lines = linesPerReading === 1 ? '' : `, ${linesPerReading} lines make one reading`;
  return `${baud} baud, ${dataBits} data bits, parity ${parity}, ${stopBits} stop bit${stopBits === 1 ? '' : 's'}; ${framingInWords(framing)}${lines}; sends ${RHYTHMS[rhythm]}`;
}

function framingInWords(framing: Framing): string {
  const { start, end, length, check } = framing;
  const hex = (bytes: string): string =>
    [...bytes].map((byte) => `0x${byte.charCodeAt(0).toString(16).padStart(2, '0')}`).join(' ');
  const opened = start === undefined ? '' : `start ${hex(start)}, `;
  const closed = end === undefined ? `frames of ${length} bytes` : `end ${hex(endText(framing))}`;
  const proved =
    check === undefined ? '' : check.kind === 'ignored' ? ', check bytes left out' : `, check ${check.kind}`;
  return opened + closed + proved;
}
