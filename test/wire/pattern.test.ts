/** Patterns that could keep a line busy are refused when the profile is read, and no other ones. */
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { isCheap } from '../../src/wire/patternCost.ts';
import { readPattern } from '../../src/wire/patternSyntax.ts';
import { readProfile } from '../../src/wire/readProfile.ts';
import { printProblems } from '../../src/workshop/problems.ts';

function verdict(pattern: string): string {
  const tree = readPattern(pattern);
  if (typeof tree === 'string') return tree;
  return isCheap(tree) ? 'cheap' : 'busy';
}

test.each([
  String.raw`(?<number>-?\d+\.\d+) (?<unit>g|oz|gr)|(?<status>[a-z]+!)`,
  String.raw`(?<sign>[+-])(?=.{9} ) *(?<number>\d+\.\d+) (?<unit>[a-z]{1,3} {0,2}| {3})(?<=^.{14})`,
  String.raw`\[(?<status>[a-z])\] *(?<number>-?\d+,\d+|~+) (?<unit>[a-z]+)`,
  String.raw` *(?<sign>[+-]?) *(?<number>\d+(?:\.\d+)?) *(?<unit>(?:kg|g)?) *`,
  String.raw`(?:\d\d:){2}\d\d (?<number>\d+) g`,
  String.raw`(?<number>\d{1,200}?)[\]\x41]\/`,
  String.raw`\d* \d* \d* \d* \d* (?<number>\d*) g`,
])('%s is cheap', (pattern) => {
  expect(new RegExp(pattern, 'u')).toBeInstanceOf(RegExp);
  expect(verdict(pattern)).toBe('cheap');
});

test.each([
  [String.raw`(?<number>(?:\d+)+) g`, /no repeat and no choice inside a repeated group/],
  [String.raw`(?<number>(?:\d|\d\d)*) g`, /no repeat and no choice inside/],
  [String.raw`(?<number>(?:\d?){3,}) g`, /no repeat and no choice inside/],
  [String.raw`(?<number>\d+)(?: *g*)*`, /no repeat and no choice inside/],
  [String.raw`(?<number>\d)\1`, /no `\\1`/],
  [String.raw`(?<number>\d)\k<number>`, /no `\\k`/],
  [String.raw`(?<number>\d{1,999})`, /at most 200 repeats/],
  [`(?<number>${'(?:'.repeat(30)}\\d${')'.repeat(30)})`, /nested less deeply/],
  [`(?<number>\\d)${'a?'.repeat(400)}`, /at most 600 characters/],
  [String.raw`.*.*.*(?<number>\d)g`, /busy/],
  [String.raw`\d*[0-4]*\w*(?<number>\d*)g`, /busy/],
  [String.raw`(?:ab)*(?:ab)*(?:ab)*(?:ab)*(?<number>\d)`, /busy/],
  [String.raw`x(?: *y| *z| *) * *(?<number>\d)`, /busy/],
  [String.raw`(?=\d*\d*\d*x)(?<number>\d+)`, /busy/],
])('%s is refused', (pattern, why) => {
  expect(verdict(pattern)).toMatch(why);
});

// The engine itself is the judge: a pattern that runs away would keep this test from ending.
test('what is called cheap lets the engine end, on the lines that make patterns slow', () => {
  const piece = fc.constantFrom(
    ' *',
    ' +',
    String.raw`\d+`,
    String.raw`\d*`,
    '[0-9]{0,8}',
    '[+-]?',
    String.raw`\.`,
    String.raw`\.\d+`,
    'g',
    '(?:g|kg)?',
    '.*',
    String.raw`\w+`,
    '(?:ab)*',
    ',',
  );
  const patterns = fc.array(piece, { minLength: 1, maxLength: 9 }).map((pieces) => pieces.join(''));
  const lines = [...'0 a1g.,b'].flatMap((char) => [
    `${char.repeat(199)}\n`,
    `${`${char} `.repeat(99)}\n`,
    `${'ab'.repeat(99)}\n`,
  ]);
  fc.assert(
    fc.property(patterns, (pattern) => {
      if (verdict(pattern) !== 'cheap') return;
      const compiled = new RegExp(`^(?:${pattern})$`, 'u');
      for (const line of lines) expect(compiled.test(line)).toBe(false);
    }),
    { numRuns: 100 },
  );
});

describe('in a profile', () => {
  const PROFILE = `describes: x
serial: { baud: 9600 }
ending: lf
rhythm: continuous
lines per second: 10
pattern: '(?<number>(?:\\d+)+) g'
no unit: { unit: g }
examples:
  - { line: '1 g', means: 1 g }
`;

  test('the refusal names the place and the reason', () => {
    const result = readProfile('mine', 'mine.yaml', PROFILE);
    const said = result.ok ? '' : printProblems(result.problems);
    expect(said).toMatch(/mine\.yaml:6:10 {2}pattern\n.*no repeat and no choice inside a repeated group/);
  });

  test('two repeats for the same characters are allowed, three are not', () => {
    const read = (pattern: string) => readProfile('mine', 'mine.yaml', PROFILE.replace(/'\(\?<.*'/, `'${pattern}'`));
    expect(read('(?<number>\\d+)\\d* g').ok).toBe(true);
    const refused = read('(?<number>\\d+)\\d*\\d* g');
    expect(refused.ok ? '' : printProblems(refused.problems)).toMatch(
      /at most two repeats can take the same characters/,
    );
  });
});
