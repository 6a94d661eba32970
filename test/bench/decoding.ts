/**
 * Lines per second from bytes to readings, beside the bare line parser on the same bytes. One shape after the other,
 * the two in turn.
 */
import { ReadlineParser } from '@serialport/parser-readline';
import { seededRandom } from '../../src/simulate/seededRandom.ts';
import { decodeLine } from '../../src/wire/decode.ts';
import { endText } from '../../src/wire/framing.ts';
import { type Profile, unitsOf } from '../../src/wire/profile.ts';
import { createReceiver } from '../../src/wire/receiver.ts';
import { speak } from '../../src/wire/speak.ts';
import { SHIPPED, shippedProfile } from '../wire/profiles.ts';
import { type Figures, figure, median } from './figures.ts';

const LINES = 20_000;
const ROUNDS = 9;
/** Bytes come in pieces of this size from a USB adapter at full speed (the largest bulk packet of USB 2.0). */
const PIECE = 64;

export function decoding(): Figures {
  const each = SHIPPED.map((id) => [id, measure(shippedProfile(id))] as const);
  const worst = Math.min(...each.map(([, { ours, bare }]) => ours / bare));
  return {
    decode_over_readline: figure(
      'lines per second, split and decoded, in those of the bare line parser; the worst of all shapes',
      'times',
      worst,
      1,
    ),
    ...Object.fromEntries(
      each.map(([id, { ours, bare }]) => [
        `decoded_lines_per_second_${id.replaceAll('-', '_')}`,
        figure(`"${id}" split and decoded, beside the bare line parser`, 'lines/s', ours, bare),
      ]),
    ),
  };
}

function measure(profile: Profile): { readonly ours: number; readonly bare: number } {
  const pieces = inPieces(Buffer.from(speech(profile), 'latin1'));
  const ours: number[] = [];
  const bare: number[] = [];
  for (let round = -2; round < ROUNDS; round++) {
    const rates = [rateOf(() => splitAndDecode(profile, pieces)), rateOf(() => onlySplit(profile, pieces))] as const;
    if (round < 0) continue; // the compiler warms up
    ours.push(rates[0]);
    bare.push(rates[1]);
  }
  return { ours: median(ours), bare: median(bare) };
}

function rateOf(work: () => number): number {
  const begin = performance.now();
  const lines = work();
  const seconds = (performance.now() - begin) / 1000;
  // The first line after an opening is dropped.
  if (lines < LINES - 1) throw new Error(`only ${lines} of ${LINES} lines arrived`);
  return lines / seconds;
}

function splitAndDecode(profile: Profile, pieces: readonly Buffer[]): number {
  let decoded = 0;
  const splitter = createReceiver(
    profile,
    (line) => {
      if (decodeLine(profile, line).kind !== 'refused') decoded += 1;
    },
    () => {},
  );
  for (const piece of pieces) splitter.write(piece, 0);
  splitter.end();
  return decoded;
}

function onlySplit(profile: Profile, pieces: readonly Buffer[]): number {
  let lines = 0;
  const parser = new ReadlineParser({ delimiter: endText(profile.framing) });
  parser.on('data', () => {
    lines += 1;
  });
  for (const piece of pieces) parser.write(piece);
  return lines;
}

/** What such a scale sends while this and that is put on it; one line in a hundred shows no weight. */
function speech(profile: Profile): string {
  const random = seededRandom(3);
  const [unit = 'g'] = unitsOf(profile);
  const lines = Array.from({ length: LINES }, () =>
    speak(profile, {
      number: { digits: BigInt(Math.floor(random.next() * 50_000)), scale: 1 },
      unit,
      stable: random.next() < 0.7,
      condition: random.next() < 0.01 ? 'over-range' : undefined,
    }),
  );
  return lines.map((line) => line + endText(profile.framing)).join('');
}

function inPieces(bytes: Buffer): Buffer[] {
  return Array.from({ length: Math.ceil(bytes.length / PIECE) }, (_, index) =>
    bytes.subarray(index * PIECE, (index + 1) * PIECE),
  );
}
