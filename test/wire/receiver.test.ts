/** Bytes -> lines, for every way in which frames are held together. */
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { MOST_BYTES_WITHOUT_LINE } from '../../src/wire/cutter.ts';
import { type Check, type Framing, linesEndedBy, unwrap, wrap } from '../../src/wire/framing.ts';
import { createReceiver, type Line, type Received } from '../../src/wire/receiver.ts';
import { latin1 } from './receive.ts';

const PLAIN: Received = {
  framing: linesEndedBy('lf'),
  linesPerReading: 1,
  linesPerSecond: 10,
  pattern: /^(?<number>\d+\.\d) g$/u,
  serial: { baud: 9600, dataBits: 8, parity: 'none', stopBits: 1 },
};

const framed = (framing: Partial<Framing>): Received => ({
  ...PLAIN,
  framing: { start: undefined, end: undefined, length: undefined, check: undefined, ...framing },
});

function hear(received: Received, pieces: readonly string[], everyMs = 1) {
  const lines: Line[] = [];
  const noises: number[] = [];
  const receiver = createReceiver(
    received,
    (line) => lines.push(line),
    (at) => noises.push(at),
  );
  for (const [index, piece] of pieces.entries()) receiver.write(latin1(piece), index * everyMs);
  return { lines, texts: lines.map(({ text }) => text), noises, receiver };
}

const STX_ETX = { start: '\x02', end: { byte: '\x03' } } as const;
const check = (parts: Partial<Check>): Check => ({
  kind: 'xor',
  covers: 'text',
  place: 'before end',
  length: 1,
  ...parts,
});

describe('lines', () => {
  test.each([
    ['crlf', 'x\r\n1.0 g\r\n2.0 g\r\n'],
    ['crlf', 'x\n1.0 g\n2.0 g\n'],
    ['lf', 'x\r\n1.0 g\r\n2.0 g\r\n'],
    ['lf', 'x\n\r1.0 g\n\r2.0 g\n'],
    ['cr', 'x\r1.0 g\r2.0 g\r'],
    ['cr', 'x\r\n1.0 g\r\n2.0 g\r\n'],
  ] as const)('%s: %j', (end, bytes) => {
    expect(hear({ ...PLAIN, framing: linesEndedBy(end) }, [bytes]).texts).toEqual(['1.0 g', '2.0 g']);
  });

  test('the first line is dropped unless it is known to be whole; empty lines are dropped', () => {
    expect(hear(PLAIN, ['6.3 g\n', '\n', '1.0 g\n']).texts).toEqual(['1.0 g']);
    const { receiver, texts, lines } = hear(PLAIN, []);
    receiver.begin();
    receiver.write(latin1('16.3 g\n'), 5);
    expect(texts).toEqual([]);
    expect(lines.map(({ text }) => text)).toEqual(['16.3 g']);
  });

  test('it is known when a line began and when it was complete', () => {
    const { lines } = hear(PLAIN, ['\n', '1.', '0', ' g\n2', '.0 g\n'], 100);
    expect(lines.map(({ began, at }) => [began, at])).toEqual([
      [100, 300],
      [300, 400],
    ]);
  });

  test('nothing is told after the end', () => {
    const { receiver, lines } = hear(PLAIN, ['\n1.0 g']);
    receiver.end();
    receiver.write(latin1('\n'), 9);
    expect(lines).toEqual([]);
  });
});

describe('start and end bytes', () => {
  test('what stands outside is left out; no first frame is lost', () => {
    const bytes = 'zz\x021.0 g\x03\r\n\x022.0 g\x03??\x023.0 g\x03';
    expect(hear(framed(STX_ETX), [bytes]).texts).toEqual(['1.0 g', '2.0 g', '3.0 g']);
  });

  test('a frame that was cut short is not joined with the next one', () => {
    expect(hear(framed(STX_ETX), ['\x021.', '\x022.0 g\x03']).texts).toEqual(['2.0 g']);
  });

  test('a start byte with a line ending, and with a length', () => {
    expect(hear(framed({ start: '\x02', end: 'cr' }), ['0 g\r\x021.0 g\r\x022.0 g\r']).texts).toEqual([
      '1.0 g',
      '2.0 g',
    ]);
    expect(hear(framed({ start: '\x02', length: 5 }), ['0 g\x021.0 g\x022.0', ' g']).texts).toEqual(['1.0 g', '2.0 g']);
  });
});

describe('checks', () => {
  // Worked by hand: "1.0 g" is 31 2E 30 20 67; exclusive or 0x68, sum 0x116.
  test.each([
    ['xor', 'before end', '\x021.0 g\x68\x03'],
    ['sum', 'before end', '\x021.0 g\x16\x03'],
    ['xor hex', 'before end', '\x021.0 g68\x03'],
    ['sum hex', 'after end', '\x021.0 g\x0316'],
    ['sum', 'after end', '\x021.0 g\x03\x16'],
  ] as const)('%s %s', (kind, place, bytes) => {
    const framing = framed({ ...STX_ETX, check: check({ kind, place, length: kind.endsWith('hex') ? 2 : 1 }) });
    expect(hear(framing, [bytes]).lines).toMatchObject([{ text: '1.0 g', fault: undefined }]);
    const damaged = bytes.replace('1.0', '7.0');
    expect(hear(framing, [damaged]).lines).toMatchObject([{ fault: expect.stringContaining('damaged on the way') }]);
  });

  test('ignored bytes after the end are left out, whatever they are, even a start byte', () => {
    const framing = framed({ ...STX_ETX, check: check({ kind: 'ignored', place: 'after end', length: 2 }) });
    expect(hear(framing, ['\x021.0 g\x03\x02\x03\x022.0 g\x03\x00\xff']).texts).toEqual(['1.0 g', '2.0 g']);
  });

  const framings: fc.Arbitrary<Framing> = fc
    .record({
      start: fc.constantFrom('\x02', '\x01'),
      end: fc.constantFrom('cr' as const, 'crlf' as const, { byte: '\x03' }, { byte: '\x04' }),
      length: fc.constant(undefined),
      check: fc.record({
        kind: fc.constantFrom('xor' as const, 'sum' as const, 'xor hex' as const, 'sum hex' as const),
        covers: fc.constantFrom('text' as const, 'text and end' as const, 'start and text' as const, 'all' as const),
        place: fc.constantFrom('before end' as const, 'after end' as const),
        length: fc.constant(0),
      }),
    })
    .map((framing) => ({
      ...framing,
      check: framing.check && { ...framing.check, length: framing.check.kind.endsWith('hex') ? 2 : 1 },
    }));

  test('what is wrapped is unwrapped; one changed character is always found by a check', () => {
    const printable = fc.string({
      unit: fc.integer({ min: 32, max: 126 }).map((code) => String.fromCharCode(code)),
      minLength: 1,
      maxLength: 30,
    });
    fc.assert(
      fc.property(
        framings,
        printable,
        fc.constantFrom(7 as const, 8 as const),
        fc.nat(29),
        fc.integer({ min: 1, max: 94 }),
        (framing, text, bits, place, by) => {
          const { start = '', check: proof } = framing;
          const frame = wrap(framing, text, bits);
          const tailLength = proof?.place === 'after end' ? proof.length : 0;
          const end = wrap({ ...framing, check: undefined }, '', bits).length - start.length;
          const body = frame.slice(start.length, frame.length - tailLength - end);
          const tail = frame.slice(frame.length - tailLength);
          expect(unwrap(framing, body, tail, bits)).toEqual({ text, fault: undefined });
          const at = place % text.length;
          const other = String.fromCharCode(32 + ((text.charCodeAt(at) - 32 + by) % 95));
          const spoilt = body.slice(0, at) + other + body.slice(at + 1);
          expect(unwrap(framing, spoilt, tail, bits).fault).toMatch(/damaged/);
        },
      ),
    );
  });

  test('a check byte that looks like the end costs its frame, but never makes another weight of it', () => {
    for (const kind of ['xor', 'sum'] as const) {
      for (const end of ['cr', 'crlf', { byte: '\x03' }] as const) {
        const framing: Framing = { start: '\x02', end, length: undefined, check: check({ kind }) };
        for (let digits = 0; digits < 100_000; digits += 7) {
          const text = `${(digits / 1000).toFixed(3)}`;
          const { lines } = hear({ ...PLAIN, framing }, [wrap(framing, text, 8)]);
          for (const line of lines) if (line.fault === undefined) expect(line.text).toBe(text);
        }
      }
    }
  });
});

describe('frames of a fixed length', () => {
  const fixed = { ...framed({ length: 7 }), pattern: /^[+-](?<number>\d{3}\.\d)g$/u };

  test('are found wherever the port was opened, and again after a lost byte', () => {
    const stream = '+001.0g+002.0g+003.0g+004.0g';
    for (let from = 0; from < 7; from++) {
      const { texts } = hear(fixed, [stream.slice(from)]);
      expect(texts).toEqual(['+001.0g', '+002.0g', '+003.0g', '+004.0g'].slice(from === 0 ? 0 : 1));
    }
    const { texts } = hear(fixed, ['+001.0g+002.0g+03.0g+004.0g+005.0g']);
    expect(texts.filter((text) => fixed.pattern.test(text))).toEqual(['+001.0g', '+002.0g', '+004.0g', '+005.0g']);
  });

  test('in any pieces', () => {
    const stream = `.0g${'+001.0g+002.0g'.repeat(20)}`;
    fc.assert(
      fc.property(fc.array(fc.integer({ min: 1, max: 20 }), { minLength: 1 }), (sizes) => {
        const pieces: string[] = [];
        for (let from = 0, piece = 0; from < stream.length; piece++) {
          const size = sizes[piece % sizes.length] ?? 1;
          pieces.push(stream.slice(from, from + size));
          from += size;
        }
        expect(hear(fixed, pieces).texts).toEqual(Array(20).fill(['+001.0g', '+002.0g']).flat());
      }),
      { numRuns: 50 },
    );
  });
});

describe('several lines per reading', () => {
  const two: Received = { ...PLAIN, linesPerReading: 2, pattern: /^N (?<number>\d+\.\d) g;(?<status>ok|no)$/u };

  test('are joined, whichever comes first', () => {
    expect(hear(two, ['x\nN 1.0 g\nok\nN 2.0 g\nno\n']).texts).toEqual(['N 1.0 g;ok', 'N 2.0 g;no']);
    const late = hear(two, ['x\nok\nN 1.0 g\nok\nN 2.0 g\nno\n']);
    expect(late.lines.map(({ text, fault }) => [text, fault])).toEqual([
      ['N 1.0 g;ok', undefined],
      ['N 2.0 g;no', undefined],
    ]);
  });

  test('a line alone is told as a fault, and nothing is joined over a gap in time', () => {
    const { lines } = hear(two, ['x\nN 1.0 g\nok\nN 2.0 g\n', '', '', 'ok\n', 'N 3.0 g\nok\n'], 400);
    expect(lines.map(({ text, fault }) => [text, fault !== undefined])).toEqual([
      ['N 1.0 g;ok', false],
      ['N 2.0 g', true],
      ['ok', true],
      ['N 3.0 g;ok', false],
    ]);
  });
});

describe('whatever comes', () => {
  const ways: readonly (readonly [string, Received])[] = [
    ['lines', PLAIN],
    ['start and end', framed(STX_ETX)],
    ['start and length', framed({ start: '\x02', length: 9 })],
    ['a length', framed({ length: 5 })],
    ['two lines', { ...PLAIN, linesPerReading: 2, pattern: /^(?<number>1\.0) g;1\.0 g$/u }],
  ];

  test.each(ways)('%s: a megabyte of noise is told, gives no weight, and the next lines are heard', (_, received) => {
    const noise = Uint8Array.from({ length: 4096 }, (_value, index) => 0x80 + ((index * 7) % 0x7f));
    const lines: Line[] = [];
    let noises = 0;
    const receiver = createReceiver(
      received,
      (line) => lines.push(line),
      () => {
        noises += 1;
      },
    );
    for (let sent = 0; sent < 256; sent++) receiver.write(noise, sent);
    expect(noises).toBeGreaterThan(0);
    expect(noises).toBeLessThanOrEqual(257);
    expect(lines.filter(({ fault, text }) => fault === undefined && received.pattern.test(text))).toEqual([]);
    const good = wrap(received.framing, '1.0 g', 8).padEnd(received.framing.start && received.framing.length ? 10 : 0);
    lines.length = 0;
    receiver.write(latin1(`\n${good.repeat(6)}`), 300);
    expect(lines.some(({ text }) => text.includes('1.0 g'))).toBe(true);
  });

  test.each(ways)('%s: a line of a million characters', (_, received) => {
    const { start = '' } = received.framing;
    const end = wrap(received.framing, '', 8).slice(start.length);
    const pieces = [`${end}${start}`, ...Array<string>(1000).fill('1'.repeat(1000)), `.0 g${end}`];
    const { lines, noises } = hear(received, pieces);
    expect(lines.filter(({ text }) => text.length > MOST_BYTES_WITHOUT_LINE)).toEqual([]);
    expect(noises.length).toBeGreaterThan(0);
  });
});
