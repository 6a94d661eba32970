/** What goes wrong in the hands-off demo: the ordinary troubles of an evening's weighing, each once. */
import type { Mass } from '../../mass/mass.ts';
import type { PlannedDraw } from '../../plan/model.ts';
import type { Instrument } from '../../simulate/instrument.ts';

export interface Mishaps {
  /** How much more than wanted the hand takes this time, micrograms. */
  extra(draw: PlannedDraw, net: Mass): number;
  /** What happens right after some of it went in. */
  during(
    draw: PlannedDraw,
    tools: { pause(ms: number): Promise<void>; instruments: ReadonlyMap<string, Instrument> },
  ): Promise<void>;
  /** What the maker does about a scale that is not to be trusted, besides lifting everything off it. */
  heal?(draw: PlannedDraw, instrument: Instrument | undefined): void;
  /** What was too much can't be taken out again: it has melted in. The maker then waits for another way. */
  stays?(draw: PlannedDraw): boolean;
  tell(what: string): void;
}

/** Over-pours by ingredient, micrograms: one in each way. */
const TOO_MUCH: Readonly<Record<string, number>> = {
  'shea-butter': 3_100_000,
  'blue-dye': 50_000,
  'lavender-oil': 600_000,
};
/** While this is picked over, the fine scale falls asleep. */
const SLOW_WORK = 'cornflower-petals';

/** The demo's own mishaps. @param say tells the onlooker */
export function demoMishaps(say: (what: string) => void): Mishaps {
  const spent = new Set<string>();
  const once = (key: string): boolean => {
    if (spent.has(key)) return false;
    spent.add(key);
    return true;
  };
  return {
    extra({ ingredient, high, target, name }) {
      const much = TOO_MUCH[ingredient];
      if (much === undefined || !once(ingredient)) return 0;
      say(`the hand slips: ${name}`);
      return much + (high - target);
    },
    async during({ ingredient, scale, name }, { pause, instruments }) {
      if (ingredient !== SLOW_WORK || !once('sleep')) return;
      say(`${name}: picking out stalks takes so long that the ${scale} scale switches itself off`);
      instruments.get(scale)?.pressOff();
      await pause(2000);
      instruments.get(scale)?.pressOn();
      await pause(2000);
    },
    tell(what) {
      if (once(what)) say(what);
    },
  };
}

/** Nothing goes wrong. */
export const NO_MISHAPS: Mishaps = { extra: () => 0, during: async () => {}, tell: () => {} };
