import { Decimal } from 'decimal.js';
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { toMicrograms, type Unit } from '../../src/mass/units.ts';
import { decode } from '../../src/wire/decode.ts';
import { type Profile, unitsOf } from '../../src/wire/profile.ts';
import { type Display, speak } from '../../src/wire/speak.ts';
import { EVERY_PROFILE, shippedProfile } from './profiles.ts';

const profiles = EVERY_PROFILE.map((id) => [id, shippedProfile(id)] as const);

/** Scales with so many decimals and no others. */
const DECIMALS: Readonly<Record<string, readonly number[]>> = {
  'bits-in-a-letter': [1],
  'clock-when-settled': [1, 2],
  'sign-behind': [1],
};

/** Any line that the profile could send for a weight. */
const displays = (profile: Profile): fc.Arbitrary<Display> =>
  fc.record({
    number: fc.record({
      digits: fc.bigInt({ min: -99_999n, max: 99_999n }),
      scale: fc.constantFrom(...(DECIMALS[profile.id] ?? [1, 2, 3, 4])),
    }),
    unit: fc.constantFrom(...unitsOf(profile)),
    stable: fc.boolean(),
    condition: fc.constant(undefined),
  });

describe.each(profiles)('%s', (_, profile) => {
  test('what it writes, it reads: every weight that fits', () => {
    fc.assert(
      fc.property(displays(profile), (display) => {
        // A scale that leaves out the unit while it moves can't say which unit that is.
        fc.pre(!(profile.blankUnit?.moving && !display.stable && display.unit !== profile.blankUnit.unit));
        // One that speaks only at rest never says that it moves.
        fc.pre(display.stable || !/settled$/.test(profile.rhythm));
        const line = speak(profile, display);
        fc.pre(line !== undefined);
        const decoded = decode(profile, line ?? '', 5);
        expect(decoded).toMatchObject({
          kind: 'reading',
          reading: {
            mass: toMicrograms(display.number.digits, display.number.scale, display.unit),
            unit: display.unit,
            stable: profile.id === 'number-and-unit' ? undefined : display.stable,
            at: 5,
          },
        });
      }),
    );
  });

  test('never throws, whatever comes', () => {
    fc.assert(
      fc.property(fc.string({ unit: 'binary', maxLength: 260 }), (line) => {
        expect(['reading', 'condition', 'refused']).toContain(decode(profile, line, 0).kind);
      }),
      { numRuns: 300 },
    );
  });

  test('a spoilt line is refused, or is a line that the pattern allows and means just what it says', () => {
    const spoilt = fc
      .tuple(displays(profile), fc.nat(20), fc.nat(3), fc.string({ unit: 'binary-ascii', maxLength: 3 }))
      .map(([display, from, remove, insert]) => {
        const line = speak(profile, display) ?? '';
        return line.slice(0, from) + insert + line.slice(from + remove);
      });
    fc.assert(
      fc.property(spoilt, (line) => {
        const decoded = decode(profile, line, 0);
        if (decoded.kind !== 'reading') return;
        const groups = profile.pattern.exec(line)?.groups;
        expect(groups).toBeDefined();
        // decimal.js as an outside judge of the number; the unit must stand in the line, or be one that may be left out.
        const { mass, unit } = decoded.reading;
        const number = new Decimal(`${groups?.sign?.trim() ?? ''}${(groups?.number ?? '').trim().replace(',', '.')}`);
        expect(
          number
            .times(toMicrograms(1n, 0, unit))
            .minus(mass)
            .abs()
            .toNumber(),
        ).toBeLessThanOrEqual(Math.max(1, number.abs().toNumber()));
        const word = groups?.unit?.trim() ?? '';
        expect(word === '' ? profile.blankUnit?.unit : profile.units.get(word)).toBe(unit);
      }),
      { numRuns: 300 },
    );
  });

  test('a line of more than 200 characters is refused before the pattern sees it', () => {
    const line = speak(profile, display('1.5')) ?? '';
    const trap = { ...profile, pattern: /^(?:.*)$/u };
    expect(decode(trap, `${' '.repeat(201 - line.length)}${line}`, 0)).toMatchObject({
      kind: 'refused',
      why: expect.stringContaining('201 characters'),
    });
  });
});

function display(number: string, unit: Unit = 'g'): Display {
  const [whole = '', fraction = ''] = number.split('.');
  return {
    number: { digits: BigInt(whole + fraction), scale: fraction.length },
    unit,
    stable: true,
    condition: undefined,
  };
}

test('a hostile line costs no time: even a bad pattern sees at most 200 characters', () => {
  const profile = { ...shippedProfile('number-and-unit'), pattern: /^(?:(?<number>\d+\.\d+) g)$/u };
  expect(decode(profile, '1'.repeat(100_000), 0).kind).toBe('refused');
});

test('why a line is refused names the word and cleans it', () => {
  const base = shippedProfile('status-first');
  const why = (line: string): string => {
    const decoded = decode(base, line, 0);
    return decoded.kind === 'refused' ? decoded.why : decoded.kind;
  };
  expect(why('huge,+      1.0 g')).toContain('status word "huge"');
  expect(why('calm,+      1.0 st')).toContain('unit "st"');
  expect(why('hello')).toContain('shape of the profile "status-first"');
});

test('where both the status word and the blank unit speak, moving wins', () => {
  const profile: Profile = {
    ...shippedProfile('number-and-unit'),
    pattern: /^(?:(?<status>[a-z]+) (?<number>\d+\.\d+) ?(?<unit>g?))$/u,
    status: new Map([['rest', 'stable']]),
    blankUnit: { unit: 'g', moving: true },
  };
  expect(decode(profile, 'rest 1.0', 0)).toMatchObject({ reading: { stable: false } });
  expect(decode(profile, 'rest 1.0 g', 0)).toMatchObject({ reading: { stable: true } });
});
