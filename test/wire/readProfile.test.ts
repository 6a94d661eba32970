import { describe, expect, test } from 'vitest';
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
