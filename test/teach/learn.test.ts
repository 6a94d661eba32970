import { describe, expect, test } from 'vitest';
import { seededRandom } from '../../src/simulate/seededRandom.ts';
import { learn } from '../../src/teach/learn.ts';
import type { Evidence, Heard, Moment } from '../../src/teach/model.ts';
import { nextQuestion } from '../../src/teach/nextQuestion.ts';
import { decode } from '../../src/wire/decode.ts';

const SERIAL = { baud: 9600, dataBits: 8, parity: 'none', stopBits: 1 } as const;
const STEP = 200;

/** What was heard while these lines came one by one, five a second, after the maker was ready. */
function heard(moment: Moment, began: number, lines: readonly string[], shown?: string): Heard {
  const ready = began + 100;
  const pieces = lines.map((line, index) => ({
    bytes: Uint8Array.from(line, (each) => each.charCodeAt(0)),
    at: ready + (index + 1) * STEP,
  }));
  return { moment, began, ready, ended: ready + (lines.length + 1) * STEP, pieces, keyPressed: false, shown };
}

const evidenceOf = (moments: readonly Heard[], skipped: readonly Moment[] = []): Evidence => ({
  serial: SERIAL,
  ask: undefined,
  heard: moments,
  skipped,
});

/** A scale that sends `word number unit`, all the time; `hum` at rest and `zig` while it moves. */
const still = (number: string, count = 20): string[] => Array.from({ length: count }, () => `hum ${number} g\r\n`);
const HEARD_WOBBLING = ['200.0', '188.1', '213.4', '196.6', '205.2', '190.9', '220.7', '201.3', '187.0', '199.9'];
const touched = [...HEARD_WOBBLING, ...HEARD_WOBBLING].map((number) => `zig ${number.padStart(7)} g\r\n`);

function told(change: Partial<Record<Moment, Heard>> = {}): Evidence {
  const all = [
    heard('empty', 0, still('    0.0')),
    heard('loaded', 10_000, still('  200.0'), '200.0 g'),
    heard('touched', 20_000, touched),
    heard('other', 30_000, still('   47.5'), '47.5 g'),
    heard('lifted', 40_000, still('  -47.5'), '-47.5 g'),
  ];
  return evidenceOf(all.map((each) => change[each.moment] ?? each));
}

describe('learning a scale', () => {
  test('every part says how sure it is and from what', () => {
    const learnt = learn(told(), 'kitchen');
    expect(learnt.ok).toBe(true);
    const parts = new Map(learnt.parts.map((part) => [part.part, part]));
    for (const name of [
      'line settings',
      'framing',
      'number',
      'decimal mark',
      'sign',
      'unit',
      'rest',
      'rhythm',
    ] as const) {
      expect(parts.get(name), name).toMatchObject({ sure: 'certain' });
      expect(parts.get(name)?.from.length, name).toBeGreaterThan(10);
    }
    if (!learnt.ok) return;
    expect([...learnt.profile.status]).toEqual(
      expect.arrayContaining([
        ['hum', 'stable'],
        ['zig', 'moving'],
      ]),
    );
    expect(learnt.profile.rhythm).toBe('continuous');
  });

  test('a number that is not on the display is no weight: ten times the weight is refused', () => {
    const learnt = learn(
      told({
        loaded: heard('loaded', 10_000, still('  200.0'), '2000.0 g'),
        other: heard('other', 30_000, still('   47.5'), '475.0 g'),
        lifted: heard('lifted', 40_000, still('  -47.5'), '-475.0 g'),
      }),
      'kitchen',
    );
    expect(learnt).toMatchObject({ ok: false, why: expect.stringContaining('agrees') });
  });

  test('one slip of the finger is asked again, and without an answer nothing is learnt', () => {
    const slip = told({ other: heard('other', 30_000, still('   47.5'), '45.7 g') });
    expect(nextQuestion(slip)).toMatchObject({ moment: 'other' });
    expect(learn(slip, 'kitchen').ok).toBe(false);
  });

  test('a word that changes, but not with touching the pan, is no word on rest', () => {
    const mixed = ['200.0', '188.1', '213.4', '196.6', '205.2', '190.9', '220.7', '201.3'].map(
      (number, index) => `${index % 2 === 0 ? 'hum' : 'zig'} ${number.padStart(7)} g\r\n`,
    );
    const learnt = learn(told({ touched: heard('touched', 20_000, mixed) }), 'kitchen');
    expect(learnt.parts.find(({ part }) => part === 'rest')).toMatchObject({ sure: 'unknown' });
    expect(learnt.ok && learnt.profile.status.size).toBe(0);
  });

  test('gross and net that were never seen apart are not learnt', () => {
    const both = (number: string): string[] => Array.from({ length: 20 }, () => `hum ${number} ${number} g\r\n`);
    const learnt = learn(
      evidenceOf(
        [
          heard('empty', 0, both('0.0')),
          heard('loaded', 10_000, both('200.0'), '200.0 g'),
          heard('other', 30_000, both('47.5'), '47.5 g'),
        ],
        ['touched', 'lifted'],
      ),
      'kitchen',
    );
    expect(learnt).toMatchObject({ ok: false, why: expect.stringContaining('Several weights') });
  });

  test('where the weight and its unit are left blank, the digits of tare and gross make no weight', () => {
    const said = (net: string, word: string, tare: string, gross: string): string =>
      `${net.padStart(7)}${word.padStart(6)}${tare.padStart(7)}${gross.padStart(8)}\r\n`;
    const rest = (net: string, tare: string, gross: string): string[] =>
      Array.from({ length: 20 }, () => said(net, 'grain', tare, gross));
    const wobble = HEARD_WOBBLING.map((number) => number.slice(0, 3));
    const learnt = learn(
      evidenceOf([
        heard('empty', 0, rest('0', '0', '0')),
        heard('loaded', 10_000, rest('200', '0', '200'), '200 gr'),
        heard(
          'touched',
          20_000,
          [...wobble, ...wobble].map((number) => said(number, '', '0', number)),
        ),
        heard('other', 30_000, rest('4750', '0', '4750'), '4750 gr'),
        heard('lifted', 40_000, rest('-4750', '4750', '0'), '-4750 gr'),
      ]),
      'kitchen',
    );
    expect(learnt.ok).toBe(true);
    if (!learnt.ok) return;
    const decoded = (line: string) => decode(learnt.profile, line.replace('\r\n', ''), 0).kind;
    expect(decoded(said('125', '', '5920', '6045'))).toBe('reading');
    for (const tare of ['5920', '11812']) expect(decoded(said('', '', tare, '47275'))).toBe('refused');
    expect(decoded('11812    12587')).toBe('refused');
  });

  test('an unsent unit is the one on the display, and only likely', () => {
    const bare = (number: string): string[] => Array.from({ length: 20 }, () => `${number}\r\n`);
    const learnt = learn(
      evidenceOf(
        [
          heard('empty', 0, bare('0.000')),
          heard('loaded', 10_000, bare('1.250'), '1.250 lb'),
          heard('other', 30_000, bare('0.475'), '0.475 lb'),
          heard('lifted', 40_000, bare('-0.475'), '-0.475 lb'),
        ],
        ['touched'],
      ),
      'kitchen',
    );
    expect(learnt.ok && learnt.profile.blankUnit).toEqual({ unit: 'lb', moving: false });
    expect(learnt.parts.find(({ part }) => part === 'unit')).toMatchObject({ sure: 'likely' });
  });

  test.each([
    ['gr', 'g', 'a scale whose display says g may write gr on the wire'],
    ['gr', 'gr', 'and one that weighs in grain does, too'],
  ] as const)('%s on the wire and %s on the display: %s', (word, shown, _why) => {
    const lines = (number: string): string[] => Array.from({ length: 20 }, () => `${number} ${word}\r\n`);
    const learnt = learn(
      evidenceOf(
        [
          heard('empty', 0, lines('0.0')),
          heard('loaded', 10_000, lines('200.0'), `200.0 ${shown}`),
          heard('other', 30_000, lines('47.5'), `47.5 ${shown}`),
          heard('lifted', 40_000, lines('-47.5'), `-47.5 ${shown}`),
        ],
        ['touched'],
      ),
      'kitchen',
    );
    expect(learnt.ok && [...learnt.profile.units]).toEqual([[word, shown]]);
  });
});

describe('hostile bytes', () => {
  const { next } = seededRandom(11);
  const noise = (length: number): Uint8Array => Uint8Array.from({ length }, () => Math.floor(next() * 256));
  const text = (of: string): Uint8Array => Uint8Array.from(of, (each) => each.charCodeAt(0));
  test.each([
    ['nothing', new Uint8Array()],
    ['a megabyte of noise', noise(1_000_000)],
    ['a line of a million characters', text('7'.repeat(1_000_000))],
    ['blanks without end', text(`${' '.repeat(4000)}\r\n`.repeat(20))],
    ['escape sequences', text('\x1b[2J\x1b]0;weight\x07 12.0 g\r\n'.repeat(50))],
    ['numbers that are none', text('1e309 g\r\n--1 g\r\n1.2.3 g\r\n'.repeat(50))],
    ['half a line', text('hum   2')],
  ])('%s: no crash, nothing learnt, and the questions end', (_what, bytes) => {
    const moments = (['empty', 'loaded', 'touched', 'other', 'lifted'] as const).map(
      (moment, index): Heard => ({
        ...heard(moment, index * 10_000, [], '12.0 g'),
        pieces: bytes.length === 0 ? [] : [{ bytes, at: index * 10_000 + 500 }],
      }),
    );
    const evidence = evidenceOf(moments);
    expect(learn(evidence, 'kitchen').ok).toBe(false);
    let asked = evidence;
    for (let count = 0; count < 20; count++) {
      const question = nextQuestion(asked);
      if (question === undefined) return;
      const again = moments[0];
      if (again)
        asked = {
          ...asked,
          heard: [...asked.heard, { ...again, moment: question.moment, keyPressed: question.pressKey }],
        };
    }
    expect.unreachable('it never stops asking');
  });
});
