import type { Key } from 'ink';
import { describe, expect, it } from 'vitest';
import { typeInto } from '../../src/screen/answerLine.ts';
import { paste, pressed } from '../../src/screen/keys.ts';

const NO_KEY = Object.fromEntries(
  'upArrow downArrow leftArrow rightArrow pageDown pageUp home end return escape ctrl shift tab backspace delete meta'
    .split(' ')
    .map((name) => [name, false]),
) as unknown as Key;
const key = (...names: (keyof Key)[]): Key => ({ ...NO_KEY, ...Object.fromEntries(names.map((name) => [name, true])) });

describe('a press', () => {
  it.each([
    ['k', key(), { key: 'k' }],
    ['7', key(), { key: '7' }],
    ['é', key(), { key: 'é' }],
    [' ', key(), { key: 'space' }],
    ['', key('return'), { key: 'enter' }],
    ['\n', key(), { key: 'enter' }],
    ['', key('escape'), { key: 'escape' }],
    ['', key('leftArrow'), { key: 'left' }],
    ['', key('delete'), { key: 'backspace' }],
    ['c', key('ctrl'), { key: 'ctrl+c' }],
    ['12', key(), { paste: '12' }],
    ['GL-30\r', key(), { paste: 'GL-30' }],
    ['\x1b[31mGL-30', key(), { paste: 'GL-30' }],
  ])('%j', (input, flags, expected) => {
    expect(pressed(input, flags)).toEqual(expected);
  });

  it.each([
    ['a combination with Ctrl', 'l', key('ctrl')],
    ['a letter with Alt', 'y', key('meta')],
    ['an arrow with Alt', '', key('meta', 'leftArrow')],
    ['Tab', '\t', key('tab')],
    ['a control character', '\x01', key()],
    ['nothing', '', key('pageDown')],
    ['invisible characters', '\u200b\u200b', key()],
  ])('%s means nothing', (_, input, flags) => {
    expect(pressed(input, flags)).toBeUndefined();
  });

  it('cuts a paste that is far too long', () => {
    expect(paste('x'.repeat(10_000))).toEqual({ paste: 'x'.repeat(200) });
    expect(paste(' \r\n ')).toBeUndefined();
  });
});

describe('the answer line', () => {
  it.each([
    ['a figure is put at the end', '12', { key: '3' }, { kind: 'text', text: '123' }],
    ['a paste is put in and waits for Enter', '1', { paste: '2.5' }, { kind: 'text', text: '12.5' }],
    ['a space', '12', { key: 'space' }, { kind: 'text', text: '12 ' }],
    ['Backspace takes the last away', '12', { key: 'backspace' }, { kind: 'text', text: '1' }],
    ['Backspace on nothing', '', { key: 'backspace' }, { kind: 'text', text: '' }],
    ['Enter answers', ' 12.5 ', { key: 'enter' }, { kind: 'answer', text: '12.5' }],
    ['Enter on nothing is told on', ' ', { key: 'enter' }, { kind: 'other' }],
    ['Escape empties', '12', { key: 'escape' }, { kind: 'text', text: '' }],
    ['Escape on nothing is told on', '', { key: 'escape' }, { kind: 'other' }],
    ['arrows are told on', '12', { key: 'up' }, { kind: 'other' }],
    ['Ctrl+C is told on', '12', { key: 'ctrl+c' }, { kind: 'other' }],
    ['it does not grow without end', '1'.repeat(24), { key: '1' }, { kind: 'text', text: '1'.repeat(24) }],
  ] as const)('%s', (_, text, input, expected) => {
    expect(typeInto(text, input)).toEqual(expected);
  });
});
