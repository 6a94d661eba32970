/** What is heard on a port is kept with its times, up to a bound. */
import { expect, test } from 'vitest';
import { joined, MOST_BYTES_KEPT, openEar } from '../../src/link/listenPort.ts';
import { createMemoryCable } from '../../src/link/memoryPort.ts';
import { createFakeClock } from '../fakeClock.ts';
import { createFakePort } from './fakePort.ts';
import { finish } from './finish.ts';

const serial = { baud: 9600, dataBits: 8, parity: 'none', stopBits: 1 } as const;

async function listening() {
  const clock = createFakeClock(1000);
  const port = createFakePort(clock);
  const ear = await openEar({ openPort: port.openPort, path: 'port', serial, clock });
  return { clock, port, ear };
}

test('pieces are kept as they came, each with its time', async () => {
  const { clock, port, ear } = await listening();
  port.send('12.');
  await clock.advance(40);
  port.send('5 g\r\n\u00ff');
  expect(ear.since(0)).toEqual([
    { bytes: Uint8Array.from(Buffer.from('12.')), at: 1000 },
    { bytes: Uint8Array.from(Buffer.from('5 g\r\n\u00ff', 'latin1')), at: 1040 },
  ]);
  expect(ear.since(1001)).toHaveLength(1);
  expect(Buffer.from(joined(ear.since(0))).toString('latin1')).toBe('12.5 g\r\n\u00ff');
  expect(ear.wholeSince).toBe(1000);
});

test('what came before is dropped when too much comes, and from when on all is there is known', async () => {
  const { clock, port, ear } = await listening();
  for (let turn = 0; turn < 400; turn++) {
    port.send('x'.repeat(1000));
    await clock.advance(1);
  }
  const pieces = ear.since(0);
  expect(joined(pieces).length).toBeLessThanOrEqual(MOST_BYTES_KEPT);
  expect(joined(pieces).length).toBeGreaterThan(MOST_BYTES_KEPT / 2);
  expect(ear.wholeSince).toBe(pieces[0]?.at);
  expect(ear.count).toBe(400_000);
});

test('one huge piece is cut, and single bytes are bounded too', async () => {
  const { port, ear } = await listening();
  port.send('y'.repeat(MOST_BYTES_KEPT * 3));
  expect(joined(ear.since(0))).toHaveLength(MOST_BYTES_KEPT);
  for (let turn = 0; turn < 100_000; turn++) port.send('z');
  expect(ear.since(0).length).toBeLessThan(40_000);
});

test('a cable that is pulled out is told, and a port that is closed by us can be opened again', async () => {
  const clock = createFakeClock();
  const cable = createMemoryCable();
  const settings = { openPort: cable.near, path: 'port', serial, clock };
  const first = await openEar(settings);
  // Our own last opening may still be held for a moment.
  const second = openEar(settings);
  await clock.advance(600);
  await first.close();
  const ear = await finish(clock, second);
  expect(ear.lost).toBeUndefined();
  cable.unplug();
  expect(ear.lost?.message).toContain('pulled out');
});
