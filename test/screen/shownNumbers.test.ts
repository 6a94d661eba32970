import { describe, expect, it } from 'vitest';
import { largeNumber, smallNumbers } from '../../src/screen/shownNumbers.ts';
import { NO_LIVE } from '../../src/screen/view.ts';
import { BLUE_DYE, drawLive, GLUCOSIDE, LAVENDER } from './scenes.ts';

describe('the large number', () => {
  it.each([
    ['below the band', drawLive(152.6, GLUCOSIDE), '14.4', 'still to add'],
    ['in the band, below the target', drawLive(166.2, GLUCOSIDE), '0.8', 'to the target'],
    ['in the band, above the target', drawLive(169, GLUCOSIDE), '-2.0', 'over the target'],
    ['above the band', drawLive(171, GLUCOSIDE), '-4.0', ' OVER THE BAND '],
    ['cup, above the band', drawLive(11.66, LAVENDER), '-0.53', ' OVER THE BAND '],
    ['subtract, below the band', drawLive(0.65, BLUE_DYE), '0.09', 'still to take'],
    ['subtract, above the band', drawLive(0.8, BLUE_DYE), '-0.06', ' OVER THE BAND '],
    ['with words of its own', { ...drawLive(1, GLUCOSIDE), caption: 'to go back' }, '166.0', 'to go back'],
  ])('%s', (_, live, text, caption) => {
    expect(largeNumber(live)).toMatchObject({ text, caption, known: true });
  });

  it('is dashes, not an old number, when the scale is not fresh', () => {
    expect(largeNumber({ ...drawLive(152.6, GLUCOSIDE), fresh: false })).toMatchObject({ text: '---', known: false });
  });

  it('is none where nothing remains', () => {
    expect(largeNumber(NO_LIVE)).toBeUndefined();
  });
});

describe('the small numbers', () => {
  const texts = (...given: Parameters<typeof smallNumbers>) => smallNumbers(...given).map(({ text }) => text);

  it('are what was added, what the scale shows, its state and the flow', () => {
    expect(texts(drawLive(152.6, { ...GLUCOSIDE, flow: '6.2 g/s' }), 'still to add', 78)).toEqual([
      'still to add',
      'added 152.6 g',
      'on bench 401.1 g',
      'moving',
      '6.2 g/s',
    ]);
  });

  it('have the target among them where there is room', () => {
    expect(texts(drawLive(0.65, BLUE_DYE), 'still to take', 118)).toContain('target 0.74 g');
  });

  it('hold no number of the scale when it is not fresh, whatever the view still holds', () => {
    const old = { ...drawLive(152.6, { ...GLUCOSIDE, flow: '6.2 g/s' }), fresh: false, state: 'silent' as const };
    expect(texts(old, '', 78)).toEqual(['', 'added ---', 'on bench ---', 'silent']);
  });

  it('count the lines that could not be read', () => {
    expect(texts({ ...drawLive(1, GLUCOSIDE), refused: 3 }, '', 78)).toContain('3 unread');
  });

  it('never take more columns than there are', () => {
    for (let columns = 0; columns <= 130; columns++) {
      const taken = smallNumbers(drawLive(1, { ...GLUCOSIDE, flow: '1 g/s' }), 'still to add', columns);
      expect(taken.reduce((sum, number) => sum + number.columns, 0)).toBeLessThanOrEqual(columns);
    }
  });
});
