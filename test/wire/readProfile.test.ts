import { describe, expect, test } from 'vitest';
import { checkProfile } from '../../src/wire/checkProfile.ts';
import { readProfile } from '../../src/wire/readProfile.ts';
import { printProblems } from '../../src/workshop/problems.ts';
import { EVERY_PROFILE, shippedProfile } from './profiles.ts';

const GOOD = `describes: a number and its unit
serial: { baud: 9600 }
ending: lf
rhythm: continuous
lines per second: 10
pattern: '(?<number>-?\\d+\\.\\d+) (?<unit>g)'
units: { g: g }
writes: { weight: '{number} {unit}' }
examples:
  - { line: '1.50 g', means: 1.50 g }
`;

const read = (text: string) => readProfile('mine', 'mine.yaml', text);
/** Problems as text; '' when the profile is good. */
const problems = (text: string): string => {
  const result = read(text);
  return result.ok ? '' : printProblems(result.problems);
};

test.each(EVERY_PROFILE)('%s passes its own examples', (id) => {
  expect(shippedProfile(id).describes).toMatch(/\w/);
});

test('what is left out has a default', () => {
  const result = read(GOOD);
  expect(result).toMatchObject({
    ok: true,
    profile: { id: 'mine', serial: { baud: 9600, dataBits: 8, parity: 'none', stopBits: 1 }, decimal: 'point' },
  });
});

describe('problems name their place and what was expected', () => {
  test.each([
    [
      'an unknown key',
      GOOD.replace('ending: lf', 'endings: lf'),
      /mine\.yaml:3:1.*\n.*key `endings`.*did you mean `ending`/,
    ],
    ['a broken pattern', GOOD.replace("(?<unit>g)'", "(?<unit>g'"), /mine\.yaml:6:10 {2}pattern\n.*this one is broken/],
    [
      'a pattern without a number',
      GOOD.replace('?<number>', '?:'),
      /mine\.yaml:6:10 {2}pattern\n.*\(\?<number>\.\.\.\)/,
    ],
    ['a group that means nothing', GOOD.replace('?<unit>', '?<units>'), /pattern\n.*not units/],
    ['no unit at all', GOOD.replace('units: { g: g }\n', ''), /units\n.*what a line without a unit means/],
    ['an unknown unit', GOOD.replace('{ g: g }', '{ g: gram }'), /mine\.yaml:7:13 {2}units\.g\n.*`kg`, `g`, `mg`/],
    ['an asked scale without a question', GOOD.replace('continuous', 'asked'), /ask\n.*what to send and how often/],
    [
      'a question to a scale that speaks by itself',
      `${GOOD}ask: { send: W, every ms: 200 }\n`,
      /ask\n.*rhythm is not asked/,
    ],
    ['an absurd speed', GOOD.replace('9600', '-1'), /mine\.yaml:2:17 {2}serial\.baud\n.*110 to 1000000/],
    [
      'an unknown place in a template',
      GOOD.replace('{number} {unit}', '{weight} {unit}'),
      /writes\.weight\n.*only the places/,
    ],
    [
      'an example that does not fit',
      GOOD.replace("'1.50 g'", "'1,50 g'"),
      /mine\.yaml:10:13 {2}examples\[1\]\.line\n.*expected a line that means 1\.50 g .*refused/,
    ],
    [
      'an example with another weight',
      GOOD.replace('means: 1.50 g', 'means: 1.05 g'),
      /examples\[1\]\.line\n.*1\.05 g .*1\.5 g/,
    ],
    [
      'an example that claims too much',
      GOOD.replace('means: 1.50 g', 'means: 1.50 g stable'),
      /examples\[1\]\.line\n.*1\.50 g stable/,
    ],
    [
      'a meaning in other words',
      GOOD.replace('means: 1.50 g', 'means: much'),
      /examples\[1\]\.means\n.*such as `12\.5 g stable`/,
    ],
    ['no examples', GOOD.replace(/examples:[\s\S]*/, 'examples: []\n'), /mine\.yaml:9:1 {2}examples\n.*at least one/],
    [
      'a template that writes what the pattern refuses',
      GOOD.replace("'{number} {unit}'", "'{unit} {number}'"),
      /examples\[1\]\.means\n.*`g 1\.50` means refused/,
    ],
  ])('%s', (_, text, expected) => {
    expect(problems(text)).toMatch(expected);
  });

  test('several at once', () => {
    const text = GOOD.replace('9600', 'fast').replace('ending: lf', 'ending: none');
    expect(problems(text).match(/expected/g)).toHaveLength(2);
  });
});

test('a profile that does not say whether it is stable gives no word on it', () => {
  const result = read(GOOD);
  expect(result.ok && result.profile.noStatus).toBeUndefined();
});

describe('frames, checks and several lines', () => {
  const framed = (frame: string): string => GOOD.replace('ending: lf', `frame: ${frame}`);

  test('bytes by name or number', () => {
    const result = read(framed('{ start: stx, end: 0x0d, check: { kind: sum hex } }'));
    expect(result).toMatchObject({
      ok: true,
      profile: {
        framing: {
          start: '\x02',
          end: { byte: '\r' },
          check: { kind: 'sum hex', covers: 'text', place: 'before end', length: 2 },
        },
      },
    });
  });

  test.each([
    ['neither ending nor frame', GOOD.replace('ending: lf\n', ''), /ending\n.*what ends a line/],
    ['both', `${GOOD}frame: { end: etx }\n`, /frame\n.*not both/],
    ['a frame without end or length', framed('{ start: stx }'), /frame\.end\n.*either an `end` or a `length`/],
    ['end and length', framed('{ end: etx, length: 9 }'), /frame\.end\n.*not both/],
    ['a start that is the end', framed('{ start: 7, end: 7 }'), /frame\.end\n.*another byte than the start/],
    ['no byte', framed('{ end: 300 }'), /frame\.end\n.*a byte/],
    [
      'an unproved check before the end',
      framed('{ end: etx, check: { kind: ignored, length: 1 } }'),
      /check\.kind\n.*written into the pattern/,
    ],
    [
      'a check after the end without a start',
      framed('{ end: etx, check: { kind: xor, place: after end } }'),
      /frame\.check\n.*could be taken for text/,
    ],
    [
      'an ignored check of no length',
      framed('{ start: stx, end: etx, check: { kind: ignored, place: after end } }'),
      /check\.length\n.*how many bytes/,
    ],
    ['an example that does not fill its frame', framed('{ length: 9 }'), /examples\[1\]\.line\n.*frame of 9 bytes/],
    [
      'a question whose ending is not known',
      `${framed('{ start: stx, end: etx }').replace('continuous', 'asked')}ask: { send: W, every ms: 200 }\n`,
      /ask\n.*the `ending` of the question/,
    ],
    [
      'two lines that look alike, so that no one knows which comes first',
      GOOD.replace('ending: lf', 'ending: lf\nlines per reading: 2')
        .replace(/pattern: .*/, "pattern: '(?<number>\\d\\.\\d+) g;\\d\\.\\d+ g'\nno unit: { unit: g }")
        .replace("'{number} {unit}'", "'{number} g;1.00 g'")
        .replace("line: '1.50 g'", "line: '1.50 g;1.00 g'"),
      /pattern\n.*fits in one place only/,
    ],
    [
      'frames without an end that fit when cut in the wrong place',
      framed('{ length: 6 }')
        .replace(/pattern: .*/, "pattern: ' *(?<number>\\d+\\.\\d+) *'\nno unit: { unit: g }")
        .replace("'{number} {unit}'", "' {number} '")
        .replace("line: '1.50 g'", "line: ' 1.50 '"),
      /pattern\n.*fits in one place only/,
    ],
  ])('%s', (_, text, expected) => {
    expect(problems(text)).toMatch(expected);
  });

  test('a profile without `writes` is read; only no simulated scale speaks it', () => {
    expect(read(GOOD.replace(/writes: .*\n/, ''))).toMatchObject({ ok: true, profile: { writes: undefined } });
  });

  test('a question ends as the lines do, as the profile says, or not at all', () => {
    const asked = (ask: string) => read(`${GOOD.replace('continuous', 'asked')}ask: ${ask}\n`);
    expect(asked('{ send: W, every ms: 200 }')).toMatchObject({ profile: { ask: { bytes: 'W\n' } } });
    expect(asked('{ send: W, ending: crlf, every ms: 200 }')).toMatchObject({ profile: { ask: { bytes: 'W\r\n' } } });
    expect(asked('{ send: "\\x05", ending: none, every ms: 200 }')).toMatchObject({
      profile: { ask: { bytes: '\x05' } },
    });
  });
});

describe('looking a profile over', () => {
  test('a good one: its settings and what its examples mean', () => {
    const { ok, lines } = checkProfile('mine', 'mine.yaml', GOOD);
    expect(ok).toBe(true);
    expect(lines[0]).toBe('OK: the wire profile "mine".');
    expect(lines.join('\n')).toMatch(/9600 baud, 8 data bits, parity none, 1 stop bit; end 0x0a; sends all the time/);
    expect(lines.at(-1)).toMatch(/1\.50 g +1\.5 g sent in g/);
  });

  test('a bad one: all problems, counted', () => {
    const { ok, lines } = checkProfile(
      'mine',
      'mine.yaml',
      GOOD.replace('9600', 'fast').replace('ending: lf', 'end: lf'),
    );
    expect(ok).toBe(false);
    expect(lines.join('\n')).toMatch(/mine\.yaml:2:17 {2}serial\.baud/);
    expect(lines.at(-1)).toMatch(/^\d+ things are wrong/);
  });
});
