import { describe, expect, test } from 'vitest';
import { hidText, mayBeSameHid, readPortText } from '../../src/workshop/portText.ts';
import { readWorkshop } from '../../src/workshop/readWorkshop.ts';

const read = (...scales: string[]) =>
  readWorkshop(
    'workshop.yaml',
    `name: Shop\noperators: [Ann]\nscales:\n${scales.map((keys, index) => `  scale-${'abc'[index]}: {capacity: 5 kg, d: 0.1 g, ${keys}}\n`).join('')}vessels: {}\ningredients: {}\n`,
  );
const scaleOf = (keys: string) => {
  const result = read(keys);
  if (!result.ok) throw new Error(result.problems.map(({ expected }) => expected).join('; '));
  return result.workshop.scales.get('scale-a');
};
const expected = (...scales: string[]): string => {
  const result = read(...scales);
  return result.ok ? '' : result.problems.map((each) => `${each.path}: ${each.expected}`).join('; ');
};

describe('how a scale is connected', () => {
  test('by a serial port, a network box, USB, or not at all', () => {
    expect(scaleOf('port: /dev/ttyUSB0, profile: status-first')).toMatchObject({ port: '/dev/ttyUSB0' });
    expect(scaleOf('port: COM3, profile: status-first, adapter: A1B2')).toMatchObject({ adapter: 'A1B2' });
    expect(scaleOf('port: "tcp:192.168.1.20:4001", profile: status-first')).toMatchObject({ usb: undefined });
    expect(scaleOf('port: "hid:"')).toMatchObject({
      profile: undefined,
      usb: { unit: 'g', rhythm: 'continuous', linesPerSecond: 4 },
    });
    expect(scaleOf('port: "hid:1a2b:0001:X 9", unit: kg, rhythm: on-change, lines per second: 2.5')).toMatchObject({
      usb: { unit: 'kg', rhythm: 'on-change', linesPerSecond: 2.5 },
    });
    expect(scaleOf('keyed: yes')).toMatchObject({ port: undefined, usb: undefined });
  });

  test.each([
    ['port: "tcp:box", profile: p', 'port: a port as in `tcp:'],
    ['port: "tcp:box:0", profile: p', 'port: a port as in `tcp:'],
    ['port: "tcp:box:70000", profile: p', 'port: a port as in `tcp:'],
    ['port: "hid:1a2b"', 'port: a port as in'],
    ['port: "hid:1a2b:xyz1"', 'port: a port as in'],
    ['port: "hid:", profile: status-first', 'profile: no profile'],
    ['port: "tcp:box:4001"', 'profile: the name of its wire profile'],
    ['port: "tcp:box:4001", profile: p, adapter: A1', 'adapter: no adapter'],
    ['keyed: yes, adapter: A1', 'adapter: no adapter'],
    ['port: /dev/ttyUSB0, profile: p, unit: kg', 'unit: no such key'],
    ['port: /dev/ttyUSB0, profile: p, rhythm: on-change', 'rhythm: no such key'],
    ['port: "hid:", lines per second: 0', 'lines per second: a number of 0.1 to 200'],
    ['port: "hid:", unit: stone', 'unit: one of `g`'],
  ])('%s is refused: %s', (keys, says) => {
    expect(expected(keys)).toContain(`scales.scale-a.${says}`);
  });

  test('two scales can not have the same port, nor two names that may be the same USB scale', () => {
    const own = 'scales.scale-b.port: a port of its own';
    expect(expected('port: COM3, profile: p', 'port: COM3, profile: p')).toContain(own);
    expect(expected('port: "tcp:b:1", profile: p', 'port: "tcp:b:1", profile: p')).toContain(own);
    expect(expected('port: "hid:"', 'port: "hid:1a2b:0001"')).toContain(own);
    expect(expected('port: "hid:1a2b:0001:A"', 'port: "hid:1A2B:0001"')).toContain(own);
    expect(expected('port: "hid:1a2b:0001:A"', 'port: "hid:1a2b:0001:B"')).toBe('');
    expect(expected('port: "hid:1a2b:0001"', 'port: "hid:1a2b:0002"', 'port: "tcp:b:1", profile: p')).toBe('');
  });
});

describe("a port's text", () => {
  test.each([
    ['tcp:box_1.local:23', { host: 'box_1.local', port: 23 }],
    ['tcp:[::1]:4001', { host: '::1', port: 4001 }],
    ['tcp:[fe80::1%eth0]:4001', { host: 'fe80::1%eth0', port: 4001 }],
  ])('%s is an address', (text, address) => {
    expect(readPortText(text)).toEqual({ kind: 'tcp', address });
  });

  test.each([
    'tcp:',
    'tcp::4001',
    'tcp:a b:1',
    'tcp:-a:1',
    'tcp:a:1 ',
    'tcp:::1:4001',
    'hid',
    'hid: ',
    'hid:12345:1111',
  ])('%j is none of ours, or a path', (text) => {
    expect(readPortText(text)?.kind).toBe(text === 'hid' ? 'serial' : undefined);
  });

  test('of a USB scale reads back as it was written', () => {
    for (const text of ['hid:', 'hid:00ff:1a2b', 'hid:00ff:1a2b:S:1 x']) {
      const named = readPortText(text);
      expect(named?.kind === 'hid' && hidText(named.spec)).toBe(text);
    }
  });

  test('a scale without a serial number is not the one that a serial number was asked for', () => {
    const wanted = { vendorId: 1, productId: 2, serialNumber: 'A' };
    expect(mayBeSameHid(wanted, { ...wanted, serialNumber: '' })).toBe(false);
    expect(mayBeSameHid(wanted, { ...wanted, serialNumber: undefined })).toBe(true);
  });
});
