import { expect, test } from 'vitest';
import { wrapped } from '../../src/cli/wrapped.ts';

test('a long line is broken between words, and moved in as far as it began', () => {
  expect(wrapped('  one two three four', 12)).toEqual(['  one two', '  three four']);
});

test('a line that fits keeps its blanks; what goes into a pipe or file stays whole', () => {
  expect(wrapped('  a    b', 8)).toEqual(['  a    b']);
  expect(wrapped('one two three four', undefined)).toEqual(['one two three four']);
});
