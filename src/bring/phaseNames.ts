/** Phases as sheets name them, `Phase B - Liquids` or `Oil phase` or `2`, and the letters that they get here. */
import { cutToWidth } from '../facts/textWidth.ts';
import type { DraftPhase } from './model.ts';

const LETTERED = /^(?:phase|part|stage|group)?\s*([A-Z])(?![\p{L}\p{N}'])[\s:.)\-\u2013\u2014]*(.*)$/iu;

const SAYS_PHASE = /\bphase\b|^(part|stage)\s+\w+\b/i;

/** Whether a cell that stands alone reads like the heading of a phase: `B Liquids`. */
export function isPhaseHeading(text: string): boolean {
  return SAYS_PHASE.test(text) || (LETTERED.test(text) && /^[A-Z]\b/.test(text));
}

/** The same of one with an amount beside it, its phase's sum. `D-Limonene` and `E 471` are ingredients. */
export function isCountedHeading(text: string): boolean {
  return SAYS_PHASE.test(text) || /^[A-Z](?:\s*[:.)].*)?$/.test(text);
}

/** Gives each phase of a sheet its letter: the sheet's own where it has one, else the first that is free. */
export function phaseBook(): { idOf(text: string): string; phases(): readonly DraftPhase[] } {
  const known = new Map<string, DraftPhase>();
  const taken = () => new Set([...known.values()].map(({ id }) => id));
  const free = (): string => {
    const used = taken();
    for (let code = 65; code <= 90; code++) if (!used.has(String.fromCharCode(code))) return String.fromCharCode(code);
    return `Z${String.fromCharCode(65 + (used.size % 26))}`;
  };
  return {
    idOf(text) {
      const key = text.toLowerCase().replace(/[:\s]+$/, '');
      const there = known.get(key);
      if (there) return there.id;
      const [, letter, rest = ''] = LETTERED.exec(text) ?? [];
      const own = letter?.toUpperCase();
      if (own !== undefined) {
        const same = [...known.values()].find(({ id }) => id === own);
        if (same) {
          known.set(key, same);
          return own;
        }
      }
      const id = own ?? free();
      const name = (own === undefined ? text : rest).replace(/[:\s]+$/, '');
      known.set(key, {
        id,
        name: name === '' ? `Phase ${id}` : /^\d+$/.test(name) ? `Phase ${name}` : cutToWidth(name, 60),
      });
      return id;
    },
    phases: () => [...new Map([...known.values()].map((each) => [each.id, each])).values()],
  };
}
