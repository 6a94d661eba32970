/** The short form of `npm run fuzz`. */
import { describe, expect, test } from 'vitest';
import { seededRandom } from '../../src/simulate/seededRandom.ts';
import { decode } from '../../src/wire/decode.ts';
import { FUZZED, fuzzBytes, fuzzLines, objection } from './fuzzing.ts';
import { EVERY_PROFILE } from './profiles.ts';

const seed = Number(process.env.SEED ?? 20_261_130);

test(`lines: no exception, and no weight that the profile does not allow (SEED=${seed})`, () => {
  const { readings, objections } = fuzzLines(20_000, seededRandom(seed));
  expect(objections).toEqual([]);
  expect(readings).toBeGreaterThan(100); // otherwise nothing near a weight was tried
});

test(`bytes: the same through the receiver (SEED=${seed})`, () => {
  const { readings, objections } = fuzzBytes(2000, seededRandom(seed + 1));
  expect(objections).toEqual([]);
  expect(readings).toBeGreaterThan(100);
});

test('the judge objects to what is wrong', () => {
  const each = FUZZED.find(({ id }) => id === 'status-first');
  if (!each) throw new Error('the profile is gone');
  const said = decode(each.profile, 'calm,+    296.4 g', 0);
  if (said.kind !== 'reading') throw new Error('no reading');
  expect(objection(each, 'calm,+    296.4 g', said)).toBeUndefined();
  expect(objection(each, 'calm,+    296.5 g', said)).toMatch(/another mass/);
  expect(objection(each, 'busy,+    296.4 g', said)).toMatch(/it moves/);
  expect(objection(each, 'calm,+    296.4 oz', said)).toMatch(/another unit/);
  expect(objection(each, 'calm,+    29.6.4 g', said)).toMatch(/does not fit/);
  expect(objection(each, 'full,------------', said)).toMatch(/shows no weight/);
});

describe.each(EVERY_PROFILE)('numbers that are none: %s', (id) => {
  const each = FUZZED.find((one) => one.id === id);
  test.each(['1e309', '--1', '1.2.3', '+-1', 'NaN', 'Infinity', '0x10', '１２', '\ud800', '\u001b[1m5'])(
    '%j',
    (bad) => {
      if (!each) throw new Error('the profile is gone');
      for (const { line } of each.grammar.examples) {
        // In place of the last number of the line (the weight in all profiles), padded to the same width where it fits.
        const spoilt = line.replace(/[+-]? *\d+[.,]\d+(?!.*\d[.,]\d)/, (number) => bad.padStart(number.length));
        if (spoilt === line) continue;
        expect(decode(each.profile, spoilt, 0).kind).not.toBe('reading');
      }
    },
  );
});
