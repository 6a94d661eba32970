/** Everything that was considered for each draw, and why the rest was not taken: `plan --why`. */
import type { Candidate } from './candidate.ts';
import { grams } from './inWords.ts';
import { whyNot, works } from './preference.ts';
import type { Considered } from './walk.ts';
import { wrapText } from './wrapText.ts';

/** The order that decides, as `preference.ts` has it. */
const ORDER =
  'Of all that can be done, this decides, in order: what must never be over goes through a cup; fewer weighings; a scale that needs no guard band; add before cup before subtract; the sturdier scale under a bowl, the finer under a cup or jar; the smaller cup.';

function nameOf({ way, scale, on, pieces }: Candidate): string {
  const vessels = [...new Set(on.map(({ name }) => name))].join(', ');
  const parts = pieces.length > 1 ? `, in ${pieces.length} weighings` : '';
  return `${way} on ${scale.id}${vessels === '' ? '' : `, ${vessels}`}${parts}`;
}

/** What is said of a candidate: taken and why, would work but, or all that stands in its way. */
export function sayVerdict({ chosen, to }: Considered, candidate: Candidate): string {
  if (!works(candidate)) return `no: ${candidate.obstacles.map(({ why }) => why).join('; ')}.`;
  if (!chosen.ok) return 'works.';
  if (candidate === chosen.at) return `taken: ${chosen.choice.why}.`;
  return `works, but ${whyNot(to, candidate, chosen.at)}.`;
}

/** The candidates of each draw, each with what speaks against it. @param width columns; no line is longer */
export function printWhy(considered: readonly Considered[], width = 80): string {
  const lines = wrapText(ORDER, '', width);
  for (const all of considered) {
    lines.push('', ...wrapText(`${all.id}  ${all.name}, ${grams(all.target)}`, '', width));
    for (const candidate of all.chosen.candidates) {
      const isTaken = all.chosen.ok && candidate === all.chosen.at;
      const said = `${nameOf(candidate)}: ${sayVerdict(all, candidate)}`;
      lines.push(...wrapText(said, isTaken ? '  * ' : '  - ', width));
    }
  }
  return lines.join('\n');
}
