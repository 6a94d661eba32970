/** Facts about bars as one line of plain text. */
import type { BarHappened } from '../../facts/barFacts.ts';
import type { Mass } from '../../mass/mass.ts';
import { exactGrams } from '../../mass/text.ts';

const VERDICT = { in: 'in its band', under: 'UNDER its band, kept', over: 'OVER its band, kept', short: 'short' };

/** `bar 3: 75.1 g, in its band`. @param on a mass as its scale shows it, with the unit */
export function barLine(fact: BarHappened, on: (scale: string, of: Mass) => string): string {
  switch (fact.kind) {
    case 'portioning-started': {
      const short = (of: Mass) => exactGrams(of).replace(/\.?0+$/, '');
      const label = fact.label === null ? '' : `, label ${short(fact.label)} g`;
      return `bars weighed off on the ${fact.scale} scale: set-point ${short(fact.setPoint)} g, ${short(fact.low)} to ${short(fact.high)} g${label}`;
    }
    case 'bar':
      return `bar ${fact.bar}: ${on(fact.scale, fact.net)}, ${VERDICT[fact.verdict]}${fact.how === 'key' ? ', by key' : ''}`;
    case 'bar-pulled':
      return `bar ${fact.bar} pulled${fact.back ? ', back into the mix' : ''} (${fact.reason})`;
    case 'bar-pressed':
      return fact.why === 'jam' ? `the press jammed on bar ${fact.bar}` : `bar ${fact.bar} pressed again`;
    case 'left-over':
      return `left over: ${fact.what} ${on(fact.scale, fact.net)}`;
    case 'portioning-ended':
      return 'all bars are weighed off';
    case 'bar-weighed-again':
      return `bar ${fact.bar} weighed again: ${on(fact.scale, fact.net)}`;
    case 'bar-again-undone':
      return `the last weighing again of bar ${fact.bar} taken back`;
  }
}
