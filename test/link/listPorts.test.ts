import { expect, test } from 'vitest';
import { listPorts } from '../../src/link/listPorts.ts';

test('likely ports come first, each kind in the order of its numbers', async () => {
  const { ports, say } = await listPorts(async () => [
    { path: '/dev/ttyS10' },
    { path: '/dev/ttyS2' },
    { path: '/dev/ttyUSB1', vendorId: '0000', pnpId: 'usb-adapter-1' },
    { path: '/dev/ttyUSB0', vendorId: '0000', serialNumber: 'A1' },
  ]);
  expect(ports.map(({ path, likely }) => [path, likely])).toEqual([
    ['/dev/ttyUSB0', true],
    ['/dev/ttyUSB1', true],
    ['/dev/ttyS2', false],
    ['/dev/ttyS10', false],
  ]);
  expect(say).toBeUndefined();
});

test('a missing udevadm is said in one sentence, and the list is empty', async () => {
  const { ports, say } = await listPorts(async () => {
    throw new Error('spawn udevadm ENOENT');
  });
  expect(ports).toEqual([]);
  expect(say).toMatch(/"udevadm" is missing.*can be typed all the same/);
});

test("an adapter's words can't paint the terminal", async () => {
  const { ports } = await listPorts(async () => [{ path: '/dev/ttyUSB0', manufacturer: '\u001b[31mbad\u0007' }]);
  expect(ports[0]?.maker).toBe('bad');
});
