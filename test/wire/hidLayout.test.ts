/**
 * Descriptors put together by hand from the items of USB-IF's Device Class Definition for HID 1.11, section 6.2.2,
 * with the usages of the weighing devices page 0x8D.
 */
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { readHidLayout, USUAL_LAYOUT } from '../../src/wire/hidLayout.ts';

const PAGE = [0x05, 0x8d];
const LOGICAL = 0x02;
const collection = (usage: number, ...inside: number[][]) => [0x09, usage, 0xa1, LOGICAL, ...inside.flat(), 0xc0];
const reportId = (id: number) => [0x85, id];
const span = (from: number, to: number) => [0x19, from, 0x29, to];
const range = (low: number, high: number) => [0x15, low & 0xff, 0x26, high & 0xff, (high >> 8) & 0xff];
const sized = (bits: number, count = 1) => [0x75, bits, 0x95, count];
const ARRAY = [0x81, 0x00];
const VALUE = [0x81, 0x02];
const CONSTANT = [0x81, 0x01];

const status = collection(0x70, span(0x71, 0x78), range(1, 8), sized(8), ARRAY);
const unit = collection(0x50, span(0x51, 0x5c), range(1, 12), sized(8), ARRAY);
const scaling = [0x09, 0x41, ...range(-128, 127), ...sized(8), ...VALUE];
const weight = [0x09, 0x40, 0x15, 0x00, 0x27, 0xff, 0xff, 0x00, 0x00, ...sized(16), ...VALUE];
const scale = (...data: number[][]) =>
  Uint8Array.from([...PAGE, ...collection(0x20, collection(0x32, ...data)).flat()]);

describe('the layout of a report descriptor', () => {
  test('of the usual kind is the usual layout', () => {
    expect(readHidLayout(scale(reportId(3), status, unit, scaling, weight))).toEqual(USUAL_LAYOUT);
  });

  test('of a device that does not number its reports has no id byte', () => {
    expect(readHidLayout(scale(status, unit, scaling, weight))).toMatchObject({
      reportId: undefined,
      length: 5,
      status: { byte: 0 },
      weight: { byte: 3 },
    });
  });

  test('in another order, with a gap, and a wide weight with a sign', () => {
    const wide = [0x09, 0x40, 0x17, 0x00, 0x00, 0x00, 0x80, 0x27, 0xff, 0xff, 0xff, 0x7f, ...sized(32), ...VALUE];
    expect(readHidLayout(scale(reportId(9), unit, [...sized(8), ...CONSTANT], status, wide, scaling))).toMatchObject({
      reportId: 9,
      length: 9,
      unit: { byte: 1 },
      status: { byte: 3 },
      weight: { byte: 4, bytes: 4, signed: true },
      scaling: { byte: 8, signed: true },
    });
  });

  test('takes the report that has all four, not one that has a part', () => {
    const limit = [...reportId(4), ...unit, ...scaling, ...weight];
    expect(readHidLayout(scale(limit, reportId(3), status, unit, scaling, weight))).toEqual(USUAL_LAYOUT);
    // Fields of two reports that come in turns keep their own places.
    expect(readHidLayout(scale(reportId(3), status, unit, limit, reportId(3), scaling, weight))).toEqual(USUAL_LAYOUT);
  });

  test('units in an order of their own are told apart by their usages', () => {
    const own = collection(0x50, [0x09, 0x5b, 0x09, 0x52], range(0, 1), sized(8), ARRAY);
    expect(readHidLayout(scale(reportId(3), status, own, scaling, weight))).toMatchObject({
      unit: { lowest: 0, usages: [0x5b, 0x52] },
    });
  });

  test.each([
    ['no weight', scale(reportId(3), status, unit, scaling)],
    ['no scaling', scale(reportId(3), status, unit, weight)],
    ['no status', scale(reportId(3), unit, scaling, weight)],
    ['two weights', scale(reportId(3), status, unit, scaling, weight, weight)],
    ['a weight across bytes', scale(reportId(3), status, unit, scaling, [...sized(4), ...CONSTANT], weight)],
    ['a keyboard', Uint8Array.from([0x05, 0x07, 0x19, 0x00, 0x29, 0x65, ...range(0, 101), ...sized(8, 6), ...ARRAY])],
    ['nothing', new Uint8Array(0)],
  ])('%s gives none', (_, descriptor) => {
    expect(readHidLayout(descriptor)).toBeUndefined();
  });

  test('any bytes, and any sound descriptor with wrong ones in it, are read without an exception', () => {
    const sound = scale(reportId(3), status, unit, scaling, weight);
    const spoilt = fc
      .array(fc.tuple(fc.nat(sound.length - 1), fc.nat(255)), { maxLength: 6 })
      .map((changes) => sound.map((byte, index) => changes.find(([at]) => at === index)?.[1] ?? byte));
    fc.assert(
      fc.property(fc.oneof(fc.uint8Array({ maxLength: 300 }), spoilt), (descriptor) => {
        const layout = readHidLayout(descriptor);
        for (const place of layout ? [layout.status, layout.unit, layout.scaling, layout.weight] : []) {
          expect(place.byte + place.bytes).toBeLessThanOrEqual(layout?.length ?? 0);
        }
      }),
      { numRuns: 2000 },
    );
  });
});
