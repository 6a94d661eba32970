/** Bytes through the receiver and the decoder, as on a port. */
import { exactGrams } from '../../src/mass/text.ts';
import { decodeLine } from '../../src/wire/decode.ts';
import type { Profile } from '../../src/wire/profile.ts';
import type { Decoded } from '../../src/wire/reading.ts';
import { createReceiver } from '../../src/wire/receiver.ts';

/** What came of bytes that arrive in pieces of the given sizes, one piece a millisecond. */
export function receive(
  profile: Profile,
  bytes: Uint8Array,
  sizes: readonly number[] = [bytes.length],
): { readonly decoded: Decoded[]; readonly noises: number } {
  const decoded: Decoded[] = [];
  let noises = 0;
  const receiver = createReceiver(
    profile,
    (line) => decoded.push(decodeLine(profile, line)),
    () => {
      noises += 1;
    },
  );
  let from = 0;
  for (let piece = 0; from < bytes.length; piece++) {
    const size = Math.max(1, sizes[piece % sizes.length] ?? 1);
    receiver.write(bytes.subarray(from, from + size), piece);
    from += size;
  }
  receiver.end();
  return { decoded, noises };
}

/** One word for what a line means: `reading 296.400 g stable`, `over-range`, `refused`. */
export function inWords(decoded: Decoded): string {
  if (decoded.kind === 'refused') return 'refused';
  if (decoded.kind === 'condition') return decoded.condition;
  const { mass, unit, stable } = decoded.reading;
  const rest = stable === undefined ? '' : stable ? ' stable' : ' moving';
  return `reading ${exactGrams(mass)} ${unit}${rest}`;
}

/** Text as Latin-1 bytes. */
export function latin1(text: string): Uint8Array {
  return Uint8Array.from(text, (char) => char.charCodeAt(0));
}
