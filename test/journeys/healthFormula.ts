/** A formula of one draw, or of two, for the health cases. */
import type { PlannedDraw } from '../../src/plan/model.ts';

export type Way = PlannedDraw['way'];

const GLYCERIN = 'draw: glycerin\n        over: forgiving\n        way: add';
const RED = 'draw: red-stock\n        over: never\n        way: cup';
const BLUE = 'draw: blue-dye\n        over: never\n        way: subtract';
const FIRST = { add: GLYCERIN, cup: RED, subtract: BLUE };
/** The next draw, with another vessel: on the same scale, so that its pan is seen empty in between; or on the other. */
const NEXT = {
  'same scale': { add: GLYCERIN, cup: BLUE, subtract: RED },
  'other scale': { add: RED, cup: GLYCERIN, subtract: GLYCERIN },
};
export type Next = keyof typeof NEXT;
/** Of the first draw, grams. */
const GRAMS = { add: 76, cup: 4, subtract: 3 };
/** Its share where the other draw is on the other scale, percent. */
const SHARE = { add: 95, cup: 5, subtract: 5 };

/** One draw of a way, and perhaps another. */
export function formulaOf(way: Way, next: Next | undefined): string {
  const share = next === undefined ? 100 : next === 'same scale' ? 50 : SHARE[way];
  const phases = [{ phase: 'A', vessel: 'liquids-beaker', draw: FIRST[way], share }];
  if (next) phases.push({ phase: 'B', vessel: 'melt-jug', draw: NEXT[next][way], share: 100 - share });
  const lines = phases.map(
    (each) => `
  - phase: ${each.phase}
    name: Trial
    vessel: ${each.vessel}
    work:
      - ${each.draw}
        share: ${each.share} %
        band: 4 %`,
  );
  return `name: Trial\nversion: 1\nbatch: ${(GRAMS[way] * 100) / share} g\nphases:${lines.join('')}\n`;
}
