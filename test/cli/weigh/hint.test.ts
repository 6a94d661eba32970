/** Commands as they are shown to the maker. */
import { expect, test } from 'vitest';
import { hint } from '../../../src/cli/weigh/hint.ts';

test('is the command as it was called: by its name, or through npm', () => {
  expect(hint('resume 2026-11-25-1', '.', {})).toBe('bismar resume 2026-11-25-1');
  // npm sets this variable for `npx bismar` and for `npm start`.
  expect(hint('resume 2026-11-25-1', '.', { npm_lifecycle_event: 'npx' })).toBe('npx bismar resume 2026-11-25-1');
});

test('names the folder that was named, in one piece', () => {
  expect(hint('log', 'soapbox', {})).toBe('bismar log --in soapbox');
  expect(hint('log', '../my soaps', {})).toBe('bismar log --in "../my soaps"');
  expect(hint('log', 'a"b$c', {})).toBe('bismar log --in "a\\"b\\$c"');
});

test('holds nothing that could paint on the terminal', () => {
  expect(hint('log', '\x1b[31mred', {})).not.toMatch(/\x1b/);
});
