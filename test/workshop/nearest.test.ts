import { describe, expect, it } from 'vitest';
import { editsBetween, nameHint, nearest } from '../../src/workshop/nearest.ts';

describe('the nearest known word', () => {
  it.each([
    ['', '', 0],
    ['abc', 'abc', 0],
    ['abc', 'abd', 1],
    ['abc', 'acb', 1],
    ['', 'abc', 3],
    // The usual textbook pair.
    ['kitten', 'sitting', 3],
    ['Shea', 'shea', 0],
  ])('from %s to %s takes %d edits', (a, b, edits) => {
    expect(editsBetween(a, b)).toBe(edits);
    expect(editsBetween(b, a)).toBe(edits);
  });

  it('is named when near, and not when far', () => {
    const known = ['melt-jug', 'mixing-bowl', 'dosing-cup'];
    expect(nearest('melt-jgu', known)).toBe('melt-jug');
    expect(nearest('meltjug', known)).toBe('melt-jug');
    expect(nearest('kettle', known)).toBeUndefined();
    expect(nearest('x'.repeat(10_000), known)).toBeUndefined();
  });

  it('or else all of them, when they are few', () => {
    expect(nameHint('kettle', ['bench', 'fine'])).toBe('known: bench, fine');
    expect(nameHint('kettle', [])).toBeUndefined();
    expect(
      nameHint(
        'kettle',
        Array.from({ length: 13 }, (_, i) => `vessel-${i}`),
      ),
    ).toBeUndefined();
  });
});
