/** What has to be added to the workshop file for ingredients that it does not know: text to copy, never written into it. */
import { stringify } from 'yaml';
import { cutToWidth } from '../facts/textWidth.ts';
import { plainName, type SheetName } from './match.ts';

/** A short name for a new ingredient that no other has: small letters, digits and `-`. */
export function newId(name: string, taken: ReadonlySet<string>): string {
  const latin = plainName(name).replace(/[^a-z0-9 ]/g, '');
  const base = latin
    .split(' ')
    .filter((word) => word !== '')
    .join('-')
    .slice(0, 36)
    .replace(/-$/, '');
  const start = /[a-z]/.test(base) ? base : `ingredient${base === '' ? '' : `-${base}`}`;
  for (let n = 1; ; n++) {
    const id = n === 1 ? start : `${start}-${n}`;
    if (!taken.has(id)) return id;
  }
}

/** A text as a YAML value on one line. */
export function yamlText(text: string): string {
  return stringify(text, { lineWidth: 0 })
    .trimEnd()
    .replace(/^[|>][\s\S]*$/, () => JSON.stringify(text));
}

/**
 * Entries for `ingredients:`, with what the sheet tells and a place for what only the maker knows.
 * @param taken ids that the workshop has already
 */
export function ingredientSkeleton(names: readonly SheetName[], taken: Iterable<string>): string {
  const ids = new Set(taken);
  const lines = [
    '# New ingredients. Look each one over, then move it into workshop.yaml, below `ingredients:`.',
    '# Take cautions from the safety data sheet. A lot needs what is on hand before it can be weighed.',
    'ingredients:',
  ];
  for (const { name, inci } of names) {
    const id = newId(name, ids);
    ids.add(id);
    lines.push(
      `  ${id}:`,
      `    name: ${yamlText(cutToWidth(name, 60))}`,
      `    inci: ${yamlText(cutToWidth(inci ?? name, 200))}${inci === undefined ? ' # put its name as on a label here' : ''}`,
      '    # density: 0.92 g/ml',
      '    # active: 50 %',
      '    # cautions: [Gloves on.]',
      '    # lots:',
      '    #   LOT-CODE: { on hand: 500 g, expires: 2027-12-31, price per kg: 9.20 }',
    );
  }
  return `${lines.join('\n')}\n`;
}
