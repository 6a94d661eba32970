import { readFileSync } from 'node:fs';
import { Decimal } from 'decimal.js';
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { createLineSplitter } from '../../src/link/lineSplitter.ts';
import { exactGrams } from '../../src/mass/text.ts';
import { decode } from '../../src/wire/decode.ts';
import type { Decoded } from '../../src/wire/reading.ts';
import { SHIPPED, shippedProfile } from './profiles.ts';

const fixture = (name: string): Buffer => readFileSync(new URL(`../../fixtures/wire/${name}`, import.meta.url));

function inWords(decoded: Decoded): string {
  if (decoded.kind === 'refused') return 'refused';
  if (decoded.kind === 'condition') return decoded.condition;
  const { mass, unit, stable } = decoded.reading;
  const rest = stable === undefined ? '' : stable ? ' stable' : ' moving';
  return `reading ${exactGrams(mass)} ${unit}${rest}`;
}

/** Splits and decodes bytes that arrive in pieces of the given sizes. */
async function receive(id: (typeof SHIPPED)[number], bytes: Buffer, sizes: readonly number[]): Promise<Decoded[]> {
  const profile = shippedProfile(id);
  const got: Decoded[] = [];
  const splitter = createLineSplitter(
    profile.ending,
    (line, at) => got.push(decode(profile, line, at)),
    () => {},
  );
  let from = 0;
  for (let piece = 0; from < bytes.length; piece++) {
    const size = sizes[piece % sizes.length] ?? 1;
    splitter.write(bytes.subarray(from, from + size), piece);
    from += size;
  }
  await new Promise((resolve) => setImmediate(resolve));
  splitter.end();
  return got;
}

describe.each(SHIPPED)('bytes on the wire of %s', (id) => {
  const expected = fixture(`${id}.expected`).toString('utf8').trim().split('\n');

  test('in one piece', async () => {
    const bytes = fixture(`${id}.bytes`);
    expect((await receive(id, bytes, [bytes.length])).map(inWords)).toEqual(expected);
  });

  test('in any pieces', async () => {
    await fc.assert(
      fc.asyncProperty(fc.array(fc.integer({ min: 1, max: 40 }), { minLength: 1, maxLength: 30 }), async (sizes) => {
        expect((await receive(id, fixture(`${id}.bytes`), sizes)).map(inWords)).toEqual(expected);
      }),
      { numRuns: 40 },
    );
  });

  test('what is kept to show it has no control characters and is short', async () => {
    for (const decoded of await receive(id, fixture(`${id}.bytes`), [7])) {
      const raw = decoded.kind === 'reading' ? decoded.reading.raw : decoded.raw;
      expect(raw).not.toMatch(/[\u0000-\u001f\u007f-\u009f]/);
      expect(raw.length).toBeLessThanOrEqual(120);
    }
  });
});

// Outside reference: decimal.js for the arithmetic; NIST Handbook 44 appendix C for 1 oz = 28.349523125 g exactly and
// 1 gr = 64.79891 mg exactly.
test.each([
  ['status-first', 'calm,+   10.455 oz', new Decimal('10.455').times('28.349523125')],
  ['status-first', 'calm,+   0.2964 kg', new Decimal('0.2964').times(1000)],
  ['number-and-unit', '1.110 oz', new Decimal('1.110').times('28.349523125')],
  ['number-and-unit', '485.50 gr', new Decimal('485.50').times('0.06479891')],
] as const)('%s: `%s` is exact to the microgram', (id, line, inGrams) => {
  const decoded = decode(shippedProfile(id), line, 0);
  const wanted = inGrams.times(1e6).toDecimalPlaces(0, Decimal.ROUND_HALF_EVEN).toNumber();
  expect(decoded).toMatchObject({ kind: 'reading', reading: { mass: wanted } });
});
