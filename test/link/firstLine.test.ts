/** What may be believed of the first bytes after an opening, and of a line that does not come in one go. */
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { FIRST_BACK_OFF_MS } from '../../src/link/keepOpen.ts';
import { QUIET_BEFORE_FIRST_MS } from '../../src/link/receiveLines.ts';
import { createSerialLink } from '../../src/link/serialLink.ts';
import { TCP_DELAY_MS } from '../../src/link/tcpPort.ts';
import { linesEndedBy } from '../../src/wire/framing.ts';
import type { Profile } from '../../src/wire/profile.ts';
import type { SourceEvent } from '../../src/wire/reading.ts';
import { createFakeClock } from '../fakeClock.ts';
import { shippedProfile } from '../wire/profiles.ts';
import { createFakePort } from './fakePort.ts';

const onChange = shippedProfile('number-and-unit');
const continuous = shippedProfile('status-first');

async function start(profile: Profile, delayMs?: number) {
  const clock = createFakeClock(10_000);
  const port = createFakePort(clock);
  const events: SourceEvent[] = [];
  const link = createSerialLink({
    scale: 'bench',
    path: '/dev/ttyUSB7',
    profile,
    openPort: port.openPort,
    clock,
    ...(delayMs === undefined ? {} : { delayMs }),
  });
  link.start((event) => events.push(event));
  await clock.advance(0);
  return {
    clock,
    port,
    link,
    events,
    masses: () => events.flatMap((event) => (event.kind === 'reading' ? [event.reading.mass] : [])),
    refused: () => events.flatMap((event) => (event.kind === 'refused' ? [event.why] : [])),
  };
}

describe('the first line after an opening', () => {
  test('of a scale that speaks on change is taken when the line was quiet before it', async () => {
    const { clock, port, masses } = await start(onChange);
    await clock.advance(QUIET_BEFORE_FIRST_MS);
    port.send('16.30 g\n');
    expect(masses()).toEqual([16_300_000]);
  });

  test('is dropped when it was not: "6.30 g" may be the end of "16.30 g"', async () => {
    const { clock, port, masses } = await start(onChange);
    await clock.advance(QUIET_BEFORE_FIRST_MS - 1);
    port.send('6.30 g\n');
    expect(masses()).toEqual([]);
    port.send('16.40 g\n');
    expect(masses()).toEqual([16_400_000]);
  });

  test('is dropped when its beginning came before the quiet', async () => {
    const { clock, port, masses } = await start(onChange);
    port.send('6.30');
    await clock.advance(2 * QUIET_BEFORE_FIRST_MS);
    port.send(' g\n');
    expect(masses()).toEqual([]);
  });

  test('after a reopening is judged anew', async () => {
    const { clock, port, masses } = await start(onChange);
    await clock.advance(QUIET_BEFORE_FIRST_MS);
    port.latest().hear.closed(new Error('gone'));
    await clock.advance(FIRST_BACK_OFF_MS);
    port.send('6.30 g\n');
    port.latest().hear.closed(new Error('gone'));
    await clock.advance(2 * FIRST_BACK_OFF_MS + QUIET_BEFORE_FIRST_MS);
    port.send('16.50 g\n');
    expect(masses()).toEqual([16_500_000]);
  });

  test('of a scale that speaks all the time is always dropped: the next comes at once', async () => {
    const { clock, port, masses } = await start(continuous);
    await clock.advance(QUIET_BEFORE_FIRST_MS);
    port.send('calm,+    296.4 g\r\n');
    expect(masses()).toEqual([]);
  });

  test('over a network waits for as long as a lost packet takes to be sent again', async () => {
    const { clock, port, masses } = await start(onChange, TCP_DELAY_MS);
    await clock.advance(2 * TCP_DELAY_MS - 1);
    port.send('6.30 g\n');
    expect(masses()).toEqual([]);
  });

  test('cut anywhere, at any time after the opening, never makes a weight that was not sent whole', async () => {
    const grams = fc.integer({ min: 0, max: 199_999 }).map((hundredths) => `${(hundredths / 100).toFixed(2)} g\n`);
    const cut = fc.record({ line: grams, from: fc.nat(12), at: fc.nat(QUIET_BEFORE_FIRST_MS - 1) });
    await fc.assert(
      fc.asyncProperty(cut, async ({ line, from, at }) => {
        const { clock, port, masses } = await start(onChange);
        await clock.advance(at);
        port.send(line.slice(Math.min(from, line.length - 1)));
        expect(masses()).toEqual([]);
      }),
      { numRuns: 60 },
    );
  });
});

describe('a line that does not come in one go', () => {
  test('half a line, then silence, then a whole one: together they are no weight', async () => {
    const { clock, port, masses, refused } = await start(onChange);
    port.send('\n1');
    await clock.advance(1000);
    port.send('20.50 g\n');
    expect(masses()).toEqual([]);
    expect(refused()).toEqual([expect.stringContaining('in pieces')]);
    port.send('20.51 g\n');
    expect(masses()).toEqual([20_510_000]);
  });

  test('a slow drip within its time is one line', async () => {
    const { clock, port, masses } = await start(onChange);
    port.send('\n');
    for (const byte of '20.50 g\n') {
      port.send(byte);
      await clock.advance(20);
    }
    expect(masses()).toEqual([20_500_000]);
  });

  test('a slow drip over a network may take longer', async () => {
    const { clock, port, masses } = await start(onChange, TCP_DELAY_MS);
    port.send('\n');
    for (const byte of '20.50 g\n') {
      port.send(byte);
      await clock.advance(200);
    }
    expect(masses()).toEqual([20_500_000]);
  });

  test('the lines behind it in the same bytes are not touched by its lateness', async () => {
    const { clock, port, masses } = await start(onChange);
    port.send('\n1');
    await clock.advance(1000);
    port.send('0.00 g\n2.00 g\n3.0');
    await clock.advance(20);
    port.send('0 g\n');
    expect(masses()).toEqual([2_000_000, 3_000_000]);
  });

  test('a line feed after the carriage return that ends a line begins no line', async () => {
    const { clock, port, masses, refused } = await start({ ...onChange, framing: linesEndedBy('cr') });
    for (const line of ['1.00 g\r\n', '2.00 g\r\n', '3.00 g\r\n']) {
      port.send(line);
      await clock.advance(5000);
    }
    expect([masses(), refused()]).toEqual([[2_000_000, 3_000_000], []]);
  });
});

describe('a gap', () => {
  type Step = 'line' | 'half' | 'close' | 'refuse' | 'allow' | 'vanish' | number;
  const step: fc.Arbitrary<Step> = fc.oneof(
    { arbitrary: fc.constant<Step>('line'), weight: 6 },
    fc.constantFrom<Step>('half', 'close', 'refuse', 'allow', 'vanish'),
    fc.integer({ min: 1, max: 9000 }),
  );

  test.each(['status-first', 'number-and-unit', 'ask-and-answer'])(
    '%s: between readings of two openings "lost" is always told, whatever happens',
    async (id) => {
      const profile = shippedProfile(id);
      const line = { 'status-first': 'calm,+      1.0 g\r\n', 'number-and-unit': '1.00 g\n' }[id] ?? '[q]      1,0 g\r';
      let acrossGaps = 0;
      await fc.assert(
        fc.asyncProperty(fc.array(step, { minLength: 10, maxLength: 60 }), async (steps) => {
          const { clock, port, link, events } = await start(profile);
          /** For each event, the opening it came from. */
          const openingOf: number[] = [];
          const note = () => {
            while (openingOf.length < events.length) openingOf.push(port.openings.length);
          };
          for (const what of steps) {
            const now = port.openings.at(-1);
            if (what === 'line' && now) port.send(line, now);
            if (what === 'half' && now) port.send('1', now);
            if (what === 'close' && now) now.hear.closed(new Error('gone'));
            if (what === 'refuse') port.refuseWith('No such file or directory');
            if (what === 'allow') port.refuseWith(undefined);
            if (what === 'vanish') port.removeDevice();
            if (typeof what === 'number') await clock.advance(what);
            else await clock.advance(10);
            note();
          }
          let last: number | undefined;
          let told = false;
          events.forEach((event, index) => {
            if (event.kind === 'link') told ||= event.state === 'lost';
            if (event.kind !== 'reading') return;
            const opening = openingOf[index];
            if (last !== undefined && opening !== last) {
              acrossGaps += 1;
              expect(told).toBe(true);
            }
            last = opening;
            told = false;
          });
          const stopped = link.stop();
          await clock.advance(2000);
          await stopped;
          expect(clock.waiting).toBe(0);
        }),
        { numRuns: 60 },
      );
      expect(acrossGaps).toBeGreaterThan(0);
    },
  );

  test.each(['lost', 'failed', 'open', 'opening'])(
    'a link that is stopped from inside its own word "%s" stays stopped',
    async (word) => {
      const clock = createFakeClock(0);
      const port = createFakePort(clock);
      if (word === 'failed') port.refuseWith('No such file or directory');
      const link = createSerialLink({ scale: 'bench', path: 'p', profile: continuous, openPort: port.openPort, clock });
      let stopped: Promise<void> | undefined;
      link.start((event) => {
        if (event.kind === 'link' && event.state === word) stopped = link.stop();
      });
      await clock.advance(0);
      if (word === 'lost') port.latest().hear.closed(new Error('gone'));
      await clock.advance(60_000);
      await stopped;
      expect(stopped).toBeDefined();
      expect(port.attempts.length).toBe(word === 'opening' ? 0 : 1);
      expect(clock.waiting).toBe(0);
    },
  );
});
