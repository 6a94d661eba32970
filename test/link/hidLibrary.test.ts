/** The optional USB library: loaded late, listed cleanly, and missed in words. */
import { afterEach, expect, test, vi } from 'vitest';
import { type HidInfo, type HidLibrary, hidScales, loadHidLibrary, NoHidLibrary } from '../../src/link/hidLibrary.ts';

afterEach(() => {
  vi.doUnmock('node-hid');
  vi.resetModules();
});

function listing(...infos: readonly HidInfo[]): HidLibrary {
  return {
    list: async () => infos,
    open: async () => {
      throw new Error('not in this test');
    },
    descriptor: async () => undefined,
  };
}

const info: HidInfo = { path: 'b', vendorId: 0x1a2b, productId: 1, usagePage: 0x8d };

test('scales are listed once each, by name, with what they say of themselves cleaned', async () => {
  const scales = await hidScales(
    listing(
      { ...info, path: 'b', serialNumber: 'B2', manufacturer: ' Trial\x1b[31m ', product: 'one\u202e' },
      { ...info, path: 'a', serialNumber: 'A1' },
      { ...info, path: 'a', serialNumber: 'A1' },
      { ...info, path: 'keyboard', usagePage: 1 },
      { ...info, path: undefined },
    ),
  );
  expect(scales.map(({ path, serialNumber }) => [path, serialNumber])).toEqual([
    ['a', 'A1'],
    ['b', 'B2'],
  ]);
  expect(scales[1]?.name).toMatch(/^Trial\S* one$/);
  expect(JSON.stringify(scales)).not.toMatch(/\\u001b|\u202e/);
});

test('the library is asked for its list and its devices', async () => {
  const devicesAsync = vi.fn(async () => [info]);
  const open = vi.fn(async (path: string) => ({ path }));
  vi.doMock('node-hid', () => ({ devicesAsync, HIDAsync: { open } }));
  const library = await loadHidLibrary();
  expect(await hidScales(library)).toHaveLength(1);
  expect(await library.open('b')).toEqual({ path: 'b' });
  expect(await library.descriptor('../etc/passwd')).toBeUndefined();
});

test('where it is missing, a sentence says what to install and what works without it', async () => {
  vi.doMock('node-hid', () => {
    throw new Error("Cannot find package 'node-hid'");
  });
  const error = await loadHidLibrary().catch((reason: unknown) => reason);
  expect(error).toBeInstanceOf(NoHidLibrary);
  expect(String(error)).toMatch(
    /USB scales need the library "node-hid", which does not work here .*npm install node-hid.*serial ports and network boxes work without it\.$/,
  );
});
