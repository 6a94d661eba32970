import { describe, expect, test } from 'vitest';
import type { ListedPort } from '../../src/link/listPorts.ts';
import { type KnownPort, portKey, whereabouts } from '../../src/link/whereabouts.ts';

const port = (path: string, serialNumber?: string, productId = '0001'): ListedPort => ({
  path,
  maker: undefined,
  serialNumber,
  vendorId: '1a2b',
  productId,
  likely: true,
});
const known = (
  scale: string,
  at: ListedPort,
  before: readonly ListedPort[],
  more: Partial<KnownPort> = {},
): KnownPort => ({
  scale,
  path: at.path,
  pinned: undefined,
  adapter: at,
  before: new Set(before.map(portKey)),
  isOpen: false,
  holds: undefined,
  ...more,
});

const A0 = port('/dev/ttyUSB0', 'A');
const A1 = port('/dev/ttyUSB1', 'A');
const B0 = port('/dev/ttyUSB0', 'B');
/** Adapters without a serial number of their own. */
const plain = (number: number, product?: string) => port(`/dev/ttyUSB${number}`, undefined, product);

describe('where a scale is now', () => {
  test('before it was ever open: where the file says', () => {
    const fresh = known('bench', A0, [], { adapter: undefined, before: undefined });
    expect(whereabouts(fresh, [B0], [])).toEqual({ kind: 'there', path: '/dev/ttyUSB0' });
  });

  test.each([
    ['back under its old name', [A0], '/dev/ttyUSB0'],
    ['under another name', [A1], '/dev/ttyUSB1'],
    ['under another name, a stranger under the old one', [B0, A1], '/dev/ttyUSB1'],
    ['not plugged in: the old name is tried', [], '/dev/ttyUSB0'],
  ])('an adapter with a serial number of its own, %s', (_, now, path) => {
    expect(whereabouts(known('bench', A0, [A0]), now, [])).toEqual({ kind: 'there', path });
  });

  test('another adapter behind the old name is never taken', () => {
    expect(whereabouts(known('bench', A0, [A0]), [B0], [])).toMatchObject({
      kind: 'nowhere',
      say: expect.stringMatching(/^Another adapter is at \/dev\/ttyUSB0 now.*Plug the bench scale in/),
    });
    expect(whereabouts(known('bench', plain(0), [plain(0)]), [plain(0, '0002')], []).kind).toBe('nowhere');
  });

  test('an adapter without a serial number is known by its kind while it is the only one that is new', () => {
    const before = [plain(0), plain(5)];
    const bench = known('bench', plain(0), before);
    expect(whereabouts(bench, [plain(5), plain(1)], [])).toEqual({ kind: 'there', path: '/dev/ttyUSB1' });
    // One that was there all the time is something else.
    expect(whereabouts(bench, [plain(5)], [])).toEqual({ kind: 'there', path: '/dev/ttyUSB0' });
    expect(whereabouts(bench, [plain(5), plain(1), plain(2)], [])).toEqual({
      kind: 'perhaps',
      paths: ['/dev/ttyUSB1', '/dev/ttyUSB2'],
    });
  });

  test('a port that another scale has open is left out', () => {
    const fine = known('fine', plain(1), [plain(0), plain(1)], { isOpen: true, holds: '/dev/ttyUSB1' });
    const bench = known('bench', plain(0), [plain(0)]);
    expect(whereabouts(bench, [plain(1)], [fine])).toEqual({ kind: 'there', path: '/dev/ttyUSB0' });
    expect(whereabouts(bench, [plain(1), plain(2)], [fine])).toEqual({ kind: 'there', path: '/dev/ttyUSB2' });
  });

  test('two scales that are gone with adapters that are all alike: only lines tell, and it is said', () => {
    const before = [plain(0), plain(1)];
    const bench = known('bench', plain(0), before);
    const fine = known('fine', plain(1), before);
    expect(whereabouts(bench, [plain(2)], [fine])).toEqual({ kind: 'perhaps', paths: ['/dev/ttyUSB2'] });
    expect(whereabouts(bench, [plain(0)], [fine])).toMatchObject({
      kind: 'there',
      path: '/dev/ttyUSB0',
      say: expect.stringMatching(/can't be told from that of fine: make sure/),
    });
  });

  test('a serial number that two adapters share is no proof', () => {
    const before = [A0, A1];
    const fine = known('fine', A1, before);
    const A2 = port('/dev/ttyUSB2', 'A');
    expect(whereabouts(known('bench', A0, before), [A2], [fine])).toEqual({ kind: 'perhaps', paths: ['/dev/ttyUSB2'] });
  });

  test('a port of which nothing is known is looked for among new ones only', () => {
    const silent = { ...plain(0), vendorId: undefined, productId: undefined };
    const bench = known('bench', silent, [silent], { adapter: undefined });
    expect(whereabouts(bench, [plain(3)], [])).toEqual({ kind: 'perhaps', paths: ['/dev/ttyUSB3'] });
    // A typed name, such as a pseudo-terminal, was never in the list.
    const typed = known('bench', plain(0), [plain(7)], { path: '/tmp/scale', adapter: undefined });
    expect(whereabouts(typed, [plain(3)], [])).toEqual({ kind: 'there', path: '/tmp/scale' });
  });

  test('a pinned adapter is the only one, whatever the name', () => {
    const bench = known('bench', A0, [], { pinned: 'A', adapter: undefined, before: undefined });
    expect(whereabouts(bench, [B0, A1], [])).toEqual({ kind: 'there', path: '/dev/ttyUSB1' });
    expect(whereabouts(bench, [B0], [])).toMatchObject({ kind: 'nowhere', say: expect.stringContaining('"A"') });
    expect(whereabouts(bench, [A0, A1], [])).toMatchObject({
      kind: 'nowhere',
      say: expect.stringMatching(/^More than one adapter/),
    });
  });
});
