import { readFileSync } from 'node:fs';
import { Decimal } from 'decimal.js';
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { decode } from '../../src/wire/decode.ts';
import { EVERY_PROFILE, shippedProfile } from './profiles.ts';
import { inWords, receive } from './receive.ts';

const fixture = (name: string): Buffer => readFileSync(new URL(`../../fixtures/wire/${name}`, import.meta.url));

describe.each(EVERY_PROFILE)('bytes on the wire of %s', (id) => {
  const expected = fixture(`${id}.expected`).toString('utf8').trim().split('\n');

  const profile = shippedProfile(id);

  test('in one piece', () => {
    expect(receive(profile, fixture(`${id}.bytes`)).decoded.map(inWords)).toEqual(expected);
  });

  test('in any pieces', () => {
    fc.assert(
      fc.property(fc.array(fc.integer({ min: 1, max: 40 }), { minLength: 1, maxLength: 30 }), (sizes) => {
        expect(receive(profile, fixture(`${id}.bytes`), sizes).decoded.map(inWords)).toEqual(expected);
      }),
      { numRuns: 40 },
    );
  });

  test('what is kept to show it has no control characters and is short', () => {
    for (const decoded of receive(profile, fixture(`${id}.bytes`), [7]).decoded) {
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
