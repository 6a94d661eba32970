import { describe, expect, it } from 'vitest';
import { z } from 'zod';
import { printProblems, readYaml } from '../../src/workshop/problems.ts';

const schema = z.strictObject({
  name: z.string(),
  speed: z.number().int().min(300).optional(),
  parity: z.enum(['none', 'even', 'odd']).optional(),
  lots: z.record(z.string().regex(/^[a-z]+$/, 'lower-case letters'), z.strictObject({ hand: z.string() })).optional(),
  list: z.array(z.strictObject({ share: z.string('a share such as `5 %`') })).optional(),
});

function problemsOf(text: string, scalars: 'typed' | 'text' = 'typed') {
  const result = readYaml('shop.yaml', text, schema, scalars);
  if (result.ok) throw new Error('expected problems');
  return result.problems;
}

describe('reading YAML by a schema', () => {
  it('gives the value when all is well', () => {
    const result = readYaml('shop.yaml', 'name: x\nspeed: 9600\n', schema);
    expect(result).toMatchObject({ ok: true, value: { name: 'x', speed: 9600 } });
  });

  it('keeps plain words as written where asked to', () => {
    const result = readYaml('shop.yaml', 'a: 0.10\nb: 007\nc: no\n', z.record(z.string(), z.string()), 'text');
    expect(result).toMatchObject({ ok: true, value: { a: '0.10', b: '007', c: 'no' } });
  });

  it('tells all problems at once, in the order of the file, with place, found and expected', () => {
    const text = ['speed: fast', 'parity: evne', 'nmae: x', 'list:', '  - share: [1, 2]', '  - {}'].join('\n');
    expect(problemsOf(text)).toEqual([
      { file: 'shop.yaml', line: 1, column: 1, path: 'name', found: 'nothing', expected: 'text' },
      { file: 'shop.yaml', line: 1, column: 8, path: 'speed', found: '`fast`', expected: 'a number' },
      {
        file: 'shop.yaml',
        line: 2,
        column: 9,
        path: 'parity',
        found: '`evne`',
        expected: 'one of `none`, `even`, `odd`',
      },
      {
        file: 'shop.yaml',
        line: 3,
        column: 1,
        path: 'nmae',
        found: 'the key `nmae`',
        expected: 'one of the keys `name`, `speed`, `parity`, `lots`, `list`',
        hint: 'did you mean `name`?',
      },
      {
        file: 'shop.yaml',
        line: 5,
        column: 5,
        path: 'list[1].share',
        found: 'a list of 2',
        expected: 'a share such as `5 %`',
      },
      {
        file: 'shop.yaml',
        line: 6,
        column: 5,
        path: 'list[2].share',
        found: 'nothing',
        expected: 'a share such as `5 %`',
      },
    ]);
  });

  it('points at a key that is itself wrong', () => {
    expect(problemsOf('name: x\nlots:\n  A1: {hand: 5 g}\n')).toMatchObject([
      { line: 3, column: 3, path: 'lots.A1', found: 'the key `A1`', expected: 'lower-case letters' },
    ]);
  });

  it('says a doubled key together with faults of meaning', () => {
    expect(problemsOf('name: x\nspeed: 300\nspeed: 1\n')).toMatchObject([
      { line: 3, column: 1, expected: 'each key once' },
      // The last of them counts.
      { line: 3, column: 8, found: '`1`' },
    ]);
    expect(problemsOf('name: x\nname: y\nspeed: 1\n')).toMatchObject([
      { line: 2, column: 1, expected: 'each key once' },
      { line: 3, column: 8, found: '`1`', expected: 'a number of at least 300' },
    ]);
  });

  it.each([
    ['a tab', 'name: x\nlots:\n\tab: 1\n', 3],
    ['an open quote', 'name: "x\n', 2],
    ['two documents', 'name: x\n---\nname: y\n', 2],
    ['a colon in text', 'name: x: y\n', 1],
    ['a list as a key', 'name: x\n? [a]\n: b\n', 2],
    ['a tag', 'name: !ruby/object x\n', 1],
    ['an unknown repeat', 'name: *x\n', 1],
  ])('places %s', (_, text, line) => {
    expect(problemsOf(text)[0]).toMatchObject({ line, file: 'shop.yaml' });
  });

  it('is not grown or felled by hostile text', () => {
    const levels = [...'abcdefghi'].map((key, i, all) => {
      const below = all[i - 1];
      return `${key}: &${key} [${Array(9).fill(below === undefined ? 'x' : `*${below}`)}]`;
    });
    expect(problemsOf(levels.join('\n'))[0]?.found).toBe('too many repeats (`*name`)');
    expect(problemsOf('['.repeat(20_000))).toMatchObject([{ found: 'nested too deeply' }]);
    expect(problemsOf(`name: ${'x'.repeat(200_001)}`)[0]?.expected).toContain('characters');
    expect(problemsOf('name: x\n__proto__: {polluted: 1}\n')[0]).toMatchObject({ line: 2, expected: 'another key' });
  });

  it('prints what it found without control characters and cut short', () => {
    const text = `name: x\nparity: "e\\e[31mvil\\u202e${'!'.repeat(90)}"\n`;
    const printed = printProblems(problemsOf(text));
    expect(printed).not.toMatch(/[\x00-\x09\x0b-\x1f\x7f-\x9f\u202e]/);
    expect(printed.split('\n')[1]?.length).toBeLessThan(120);
  });

  it('lets later checks point at a path', () => {
    const result = readYaml('shop.yaml', 'name: x\nlist:\n  - share: 5 %\n', schema);
    if (!result.ok) throw new Error('expected a value');
    expect(result.at(['list', 0, 'share'])).toEqual({ line: 3, column: 12 });
    expect(result.at(['list'])).toEqual({ line: 2, column: 1 });
    expect(result.complain(['list', 0, 'share'], 'shares of 100 %', { hint: '95 % missing' })).toEqual({
      file: 'shop.yaml',
      line: 3,
      column: 12,
      path: 'list[1].share',
      found: '`5 %`',
      expected: 'shares of 100 %',
      hint: '95 % missing',
    });
  });

  it('prints problems place first', () => {
    expect(printProblems(problemsOf('nmae: x'))).toBe(
      [
        'shop.yaml:1:1  name',
        '    found nothing, expected text',
        'shop.yaml:1:1  nmae',
        '    found the key `nmae`, expected one of the keys `name`, `speed`, `parity`, `lots`, `list` (did you mean `name`?)',
      ].join('\n'),
    );
  });
});
