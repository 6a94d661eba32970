import { describe, expect, it } from 'vitest';
import { cleanBench, cleanForCells } from '../../src/screen/cleanView.ts';
import { bandHue, drawsBlocks, lookOf, wantsColour } from '../../src/screen/palette.ts';
import { SCENES } from './scenes.ts';

describe('the environment', () => {
  it.each([
    [{}, true],
    [{ NO_COLOR: '' }, true],
    [{ NO_COLOR: '1' }, false],
    [{ NO_COLOR: '0' }, false],
  ])('%j: colours %j', (environment, wanted) => {
    expect(wantsColour(environment)).toBe(wanted);
    expect(lookOf('hold', wanted).hue !== undefined).toBe(wanted);
    expect(lookOf('hold', wanted).loud, 'brightness stays').toBe(true);
    expect(bandHue('over', wanted) !== undefined).toBe(wanted);
    expect(bandHue('under', wanted)).toBeUndefined();
  });

  it.each([
    [{}, true],
    [{ TERM: 'xterm-256color', LANG: 'de_DE.UTF-8' }, true],
    [{ TERM: 'xterm', LANG: 'C.utf8' }, true],
    [{ TERM: 'xterm', LANG: 'de_DE.ISO-8859-1' }, false],
    [{ TERM: 'xterm', LANG: 'de_DE.UTF-8', LC_ALL: 'C' }, false],
    [{ TERM: 'linux', LANG: 'de_DE.UTF-8' }, false],
    [{ TERM: 'vt100', LANG: 'C.UTF-8' }, false],
    [{ TERM: 'dumb' }, false],
  ])('%j: block elements %j', (environment, blocks) => {
    expect(drawsBlocks(environment)).toBe(blocks);
  });
});

describe('foreign text', () => {
  it.each([
    ['Shea butter', 'Shea butter'],
    ['シア脂', 'シア脂'],
    ['a\x1b[2Jb', 'ab'],
    ['fire \u{1f525}!', 'fire ?!'],
    ['\u{1f469}\u200d\u{1f33e}', '??'],
    ['Beurre de karité, 5 µm, ½', 'Beurre de karité, 5 µm, ½'],
    ['масло ши, βούτυρο', 'масло ши, βούτυρο'],
    ['x\u0332', 'x\u0332'],
    ['\u0e01\u0e33', '?'],
    ['\u0915\u094d\u0937', '?'],
    ['flag \u{1f1e9}\u{1f1ea}', 'flag ?'],
    ['private \ue000', 'private ?'],
  ])('%j', (given, expected) => {
    expect(cleanForCells(given)).toBe(expected);
  });

  it('is cleaned wherever it is in a view, and the rest of the view stays', () => {
    const view = SCENES.gather?.view;
    if (!view) throw new Error('no gathering scene');
    const bad = '\x1b[31m\u202e';
    const hostile = {
      ...view,
      title: bad + view.title,
      detail: view.detail.map((text) => text + bad),
      choices: view.choices.map(({ key, label }) => ({ key, label: bad + label })),
      list: view.list?.map((line) => ('name' in line ? { ...line, name: bad + line.name } : line)),
      timer: { startedAt: 5, forMs: undefined },
    };
    expect(cleanBench(hostile)).toEqual({ ...view, timer: { startedAt: 5, forMs: undefined } });
  });
});
