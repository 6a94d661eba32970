import { describe, expect, test } from 'vitest';
import {
  createSerialLink,
  FIRST_BACK_OFF_MS,
  GIVE_UP_MS,
  LONGEST_BACK_OFF_MS,
  PATIENCE_WITH_LOCK_MS,
} from '../../src/link/serialLink.ts';
import type { Profile } from '../../src/wire/profile.ts';
import type { SourceEvent } from '../../src/wire/reading.ts';
import { createFakeClock } from '../fakeClock.ts';
import { shippedProfile } from '../wire/profiles.ts';
import { createFakePort } from './fakePort.ts';

const continuous = shippedProfile('status-first');
const onChange = shippedProfile('number-and-unit');
const asked = shippedProfile('ask-and-answer');
const NO_PORT = 'Error: No such file or directory, cannot open /dev/ttyUSB7';
const LOCKED = 'Error: Resource temporarily unavailable Cannot lock port';

function createLink(profile: Profile) {
  const clock = createFakeClock(10_000);
  const port = createFakePort(clock);
  const events: SourceEvent[] = [];
  const raw: string[] = [];
  const link = createSerialLink({
    scale: 'bench',
    path: '/dev/ttyUSB7',
    profile,
    openPort: port.openPort,
    clock,
    onRaw: (line) => raw.push(line),
  });
  return {
    clock,
    port,
    link,
    events,
    raw,
    start: async () => {
      link.start((event) => events.push(event));
      await clock.advance(0);
    },
    states: () => events.flatMap((event) => (event.kind === 'link' ? [event.state] : [])),
    said: () => events.flatMap((event) => (event.kind === 'link' && event.say ? [event.say] : [])),
    readings: () => events.flatMap((event) => (event.kind === 'reading' ? [event.reading] : [])),
    refused: () => events.flatMap((event) => (event.kind === 'refused' ? [event.why] : [])),
  };
}

describe('lines', () => {
  test('the first line after an opening is dropped: it may be the end of a longer one', async () => {
    const { start, port, clock, readings } = createLink(onChange);
    await start();
    port.send('296.40 g\n'); // the rest of "1296.40 g"
    port.send('1296.40 g\n');
    await clock.advance(0);
    expect(readings().map(({ mass }) => mass)).toEqual([1_296_400_000]);
  });

  test('lines may arrive in any pieces, and carry the time of their last byte', async () => {
    const { start, port, clock, readings, raw } = createLink(continuous);
    await start();
    port.send('x\r\ncalm,+    29');
    await clock.advance(40);
    port.send('6.4 g\r');
    await clock.advance(7);
    port.send('\ncalm,+    296.5 g\r\n');
    await clock.advance(0);
    expect(readings().map(({ mass, at }) => [mass, at])).toEqual([
      [296_400_000, 10_047],
      [296_500_000, 10_047],
    ]);
    expect(raw).toEqual(['calm,+    296.4 g', 'calm,+    296.5 g']);
  });

  test('garbage is counted, shown cleaned and not used', async () => {
    const { start, port, clock, events } = createLink(continuous);
    await start();
    port.send('\r\n\u001b[31mcalm,+ 1.0 g\u0007\r\n');
    await clock.advance(0);
    expect(events.at(-1)).toMatchObject({ kind: 'refused', raw: 'calm,+ 1.0 g' });
  });

  test('a megabyte without a line ending is told once, kept nowhere, and the next good line is read', async () => {
    const { start, port, clock, refused, readings } = createLink(continuous);
    await start();
    for (let sent = 0; sent < 1024; sent++) port.send('\u00f8'.repeat(1024));
    await clock.advance(0);
    expect(refused()).toHaveLength(1);
    expect(refused()[0]).toMatch(/9600 baud.*"status-first" wrong\?/);
    port.send('\r\ncalm,+      1.0 g\r\n');
    await clock.advance(0);
    expect(readings()).toHaveLength(1);
  });

  test('the unfinished rest of a line is never told, neither at a loss nor at stop', async () => {
    const { start, port, clock, link, events } = createLink(onChange);
    await start();
    port.send('\n1.00 g');
    port.latest().hear.closed(new Error('bad file descriptor'));
    await clock.advance(FIRST_BACK_OFF_MS);
    port.send('\n2.00 g');
    await link.stop();
    await clock.advance(0);
    expect(events.filter(({ kind }) => kind !== 'link')).toEqual([]);
  });
});

describe('losing the port', () => {
  test('a pulled plug is told at once, and a new port is opened; the old half line does not join the new one', async () => {
    const { start, port, clock, states, said, readings } = createLink(onChange);
    await start();
    port.send('\n1.00 g\n12');
    port.latest().hear.closed(Object.assign(new Error('bad file descriptor'), { disconnected: true }));
    expect(states()).toEqual(['opening', 'open', 'lost']);
    expect(said()[0]).toMatch(/"bench" is gone from its port .*goes on by itself/);
    await clock.advance(FIRST_BACK_OFF_MS);
    expect(states()).toEqual(['opening', 'open', 'lost', 'open']);
    port.send('3.00 g\n4.00 g\n');
    await clock.advance(0);
    expect(readings().map(({ mass }) => mass)).toEqual([1_000_000, 4_000_000]);
  });

  test('what an old port still says is ignored', async () => {
    const { start, port, clock, events } = createLink(onChange);
    await start();
    const old = port.latest();
    old.hear.closed(new Error('gone'));
    await clock.advance(FIRST_BACK_OFF_MS);
    const before = events.length;
    port.send('\n9.99 g\n', old);
    old.hear.closed(new Error('gone again'));
    old.hear.error(new Error('late'));
    await clock.advance(10);
    expect(events).toHaveLength(before);
    expect(port.openings).toHaveLength(2);
  });

  test('opening is tried again with growing pauses, up to five seconds, and told once', async () => {
    const { start, port, clock, states, said } = createLink(continuous);
    port.refuseWith(NO_PORT);
    await start();
    await clock.advance(25_000);
    const gaps = port.attempts.slice(1).map((at, index) => at - (port.attempts[index] ?? 0));
    expect(gaps.slice(0, 7)).toEqual([250, 500, 1000, 2000, 4000, LONGEST_BACK_OFF_MS, LONGEST_BACK_OFF_MS]);
    expect(states()).toEqual(['opening', 'failed']);
    expect(said()[0]).toMatch(/^There is no port \/dev\/ttyUSB7/);
    port.refuseWith(undefined);
    await clock.advance(LONGEST_BACK_OFF_MS);
    expect(states()).toEqual(['opening', 'failed', 'open']);
  });

  test('a lock that goes away within two seconds is never told', async () => {
    const { start, port, clock, states } = createLink(continuous);
    port.refuseWith(LOCKED);
    await start();
    await clock.advance(PATIENCE_WITH_LOCK_MS - 300);
    port.refuseWith(undefined);
    await clock.advance(FIRST_BACK_OFF_MS);
    expect(states()).toEqual(['opening', 'open']);
  });

  test('a lock that stays is told', async () => {
    const { start, port, clock, states, said } = createLink(continuous);
    port.refuseWith(LOCKED);
    await start();
    await clock.advance(PATIENCE_WITH_LOCK_MS + FIRST_BACK_OFF_MS);
    expect(states()).toEqual(['opening', 'failed']);
    expect(said()[0]).toMatch(/in use by another program/);
  });
});

describe('silence', () => {
  test.each([
    ['continuous', continuous],
    ['asked', asked],
  ])('a %s scale without a line for 5 s is told lost, and its port is opened anew', async (_, profile) => {
    const { start, port, clock, states, said } = createLink(profile);
    await start();
    await clock.advance(GIVE_UP_MS - 1);
    expect(states()).toEqual(['opening', 'open']);
    await clock.advance(1);
    expect(states()).toEqual(['opening', 'open', 'lost']);
    expect(said()[0]).toMatch(/sent nothing for 5 s/);
    expect(port.openings[0]?.closed).toBe(true);
    await clock.advance(FIRST_BACK_OFF_MS);
    expect(port.openings).toHaveLength(2);
  });

  test('lines put the watchdog off, also refused ones', async () => {
    const { start, port, clock, states } = createLink(continuous);
    await start();
    for (let second = 0; second < 20; second++) {
      port.send('no scale speaks so\r\n');
      await clock.advance(1000);
    }
    expect(states()).toEqual(['opening', 'open']);
  });

  test('bytes without a line do not: that is how a hung-up port may look', async () => {
    const { start, port, clock, states } = createLink(continuous);
    await start();
    for (let second = 0; second < 6; second++) {
      port.send('calm');
      await clock.advance(1000);
    }
    expect(states()).toContain('lost');
  });

  test('after a silence "open" is told by the first line, not by the port', async () => {
    const { start, port, clock, states } = createLink(continuous);
    await start();
    await clock.advance(11 * (GIVE_UP_MS + FIRST_BACK_OFF_MS));
    expect(port.openings).toHaveLength(12);
    expect(states()).toEqual(['opening', 'open', 'lost']);
    port.send('\r\ncalm,+      1.0 g\r\n');
    await clock.advance(0);
    expect(states()).toEqual(['opening', 'open', 'lost', 'open']);
  });

  test('a port whose close never ends does not keep the link from opening a new one', async () => {
    const { start, port, clock } = createLink(continuous);
    port.hangOnClose();
    await start();
    await clock.advance(GIVE_UP_MS + FIRST_BACK_OFF_MS);
    expect(port.openings).toHaveLength(2);
  });

  test('a scale that speaks on change only may be quiet for an hour', async () => {
    const { start, port, clock, states } = createLink(onChange);
    await start();
    await clock.advance(3_600_000);
    expect(states()).toEqual(['opening', 'open']);
    expect(port.openings).toHaveLength(1);
  });

  test.each([
    ['continuous', continuous],
    ['on-change', onChange],
  ])(
    'a %s scale whose device is gone is told lost before that, although its port has not said so',
    async (_, profile) => {
      const { start, port, clock, states, said } = createLink(profile);
      await start();
      port.removeDevice();
      await clock.advance(1000);
      expect(states()).toEqual(['opening', 'open', 'lost']);
      expect(said()[0]).toMatch(/is gone from its port/);
    },
  );
});

describe('asking', () => {
  test('a scale that must be asked is asked as often as its profile says', async () => {
    const { start, port, clock } = createLink(asked);
    await start();
    await clock.advance(1000);
    expect(port.latest().written).toEqual(Array(9).fill('weight?\r'));
  });

  test('the questions end with the port', async () => {
    const { start, port, clock, link } = createLink(asked);
    await start();
    const stopped = link.stop();
    await clock.advance(2000);
    await stopped;
    expect(port.latest().written).toHaveLength(1);
  });

  test('no other scale is written to', async () => {
    const { start, port, clock } = createLink(continuous);
    await start();
    await clock.advance(4000);
    expect(port.latest().written).toEqual([]);
  });
});

describe('stopping', () => {
  test('closes the port, tells it, and leaves no timer', async () => {
    const { start, port, clock, link, states } = createLink(asked);
    await start();
    const stopped = link.stop();
    await clock.advance(0);
    await stopped;
    expect(port.latest().closed).toBe(true);
    expect(states()).toEqual(['opening', 'open', 'closed']);
    expect(clock.waiting).toBe(0);
  });

  test('while it waits to try again', async () => {
    const { start, port, clock, link, states } = createLink(asked);
    port.refuseWith(NO_PORT);
    await start();
    await link.stop();
    await clock.advance(60_000);
    expect(port.attempts).toHaveLength(1);
    expect(states().at(-1)).toBe('closed');
  });

  test('while the port is being opened: it is closed as soon as it is there', async () => {
    const { port, clock, link, events } = createLink(continuous);
    link.start((event) => events.push(event));
    const stopped = link.stop();
    await clock.advance(0);
    await stopped;
    expect(port.latest().closed).toBe(true);
    port.send('\r\ncalm,+      1.0 g\r\n');
    await clock.advance(0);
    expect(events.map((event) => event.kind)).toEqual(['link', 'link']);
  });
});
