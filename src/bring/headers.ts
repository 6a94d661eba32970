/** What the columns of a sheet hold, by their headings in plain English, or by what stands in them. */
import { type CellNumber, cellNumber, unitWord } from './cellNumber.ts';
import type { Row } from './model.ts';

export type Role = 'name' | 'inci' | 'phase' | 'percent' | 'parts' | 'mass' | 'amount' | 'unit' | 'note' | 'other';

export interface Column {
  readonly index: number;
  readonly role: Role;
  /** Unit that the heading names, for a mass. */
  readonly unit: CellNumber['unit'];
}

const WORDS: readonly (readonly [Role, RegExp])[] = [
  ['inci', /^inci\b|\binci( name)?$|^label name$/],
  ['phase', /^(phase|stage|part of formula|group|section)s?$/],
  // How strong a material is, or the most that may be in: no share, though often in percent.
  ['other', /\b(active(?! ingredient)|strength|purity|assay|max|maximum|limit)\b/],
  ['unit', /^(units?|uom)$/],
  [
    'percent',
    /^(%|percent|percentage|pct|share|wt\.? ?%|weight ?%|% ?(w\/w|wt|weight|by weight)|%.*|.*[ (]%\)?|percent .*|.* percent(age)?)$/,
  ],
  ['parts', /^(parts?|pbw|parts by weight)$/],
  ['note', /^(notes?|remarks?|comments?|instructions?|how)$/],
  [
    'other',
    /^(cas.*|function|supplier.*|vendor|lot.*|batch no.*|cost.*|price.*|#|no\.?|nr\.?|row|line|step|item no\.?|code|sku|id)$/,
  ],
  ['mass', /^(grams?|grammes?|g|kg|mg|oz|lbs?|kilos?|kilograms?|ounces?|pounds?)$/],
  ['amount', /^(amounts?|quantit(y|ies)|qty\.?|weights?|mass(es)?|wt\.?|dose|addition)$/],
  [
    'name',
    /^(ingredients?|materials?|raw materials?|names?|components?|items?|substances?|trade names?|ingredient names?|what|chemicals?|products?)$/,
  ],
];

function columnOf(heading: string, index: number): Column | undefined {
  const text = heading
    .toLowerCase()
    .replace(/[:*]+$/, '')
    .trim();
  if (text === '') return undefined;
  const inside = /^(.*?)\s*(?:\(|\[|,|\/| in | (?=[a-z%.]+$))\s*([a-z%. /]+?)\s*[)\]]?$/.exec(text);
  const unit = unitWord(inside?.[2] ?? text);
  const before = inside?.[1] ?? text;
  for (const [role, words] of WORDS) {
    if (!words.test(text) && !(unit !== undefined && words.test(before))) continue;
    if (role === 'amount' || role === 'mass' || role === 'percent' || role === 'parts')
      return { index, ...counted(role, unit) };
    return { index, role, unit: undefined };
  }
  return undefined;
}

function counted(role: Role, unit: CellNumber['unit']): Pick<Column, 'role' | 'unit'> {
  if (unit === '%' || (role === 'percent' && unit === undefined)) return { role: 'percent', unit: undefined };
  if (unit === 'parts' || role === 'parts') return { role: 'parts', unit: undefined };
  return unit === undefined ? { role: 'amount', unit } : { role: 'mass', unit };
}

/** The columns that a heading row names; undefined for a row that is none. */
export function headingRow({ cells }: Row): readonly Column[] | undefined {
  if (cells.some((cell) => cellNumber(cell) !== undefined)) return undefined;
  const columns = cells.flatMap((cell, index) => columnOf(cell, index) ?? []);
  const counts = columns.some(({ role }) => ['percent', 'parts', 'mass', 'amount'].includes(role));
  return columns.length >= 2 && counts ? columns : undefined;
}

/** Without headings: the column with most numbers is the amount, the first with most words the name. */
export function guessedColumns(rows: readonly Row[]): readonly Column[] {
  const width = Math.max(0, ...rows.map(({ cells }) => cells.length));
  const count = (index: number, test: (cell: string) => boolean) =>
    rows.filter(({ cells }) => cells[index] !== undefined && cells[index] !== '' && test(cells[index])).length;
  const each = Array.from({ length: width }, (_, index) => ({
    index,
    numbers: count(index, (cell) => cellNumber(cell) !== undefined),
    letters: count(index, (cell) => /^(phase )?[a-z]$/i.test(cell)),
    words: count(index, (cell) => cellNumber(cell) === undefined && /\p{L}{2}/u.test(cell)),
  }));
  const most = (key: 'numbers' | 'words') =>
    each.reduce((a, b) => (b[key] > a[key] ? b : a), { index: -1, numbers: 0, words: 0, letters: 0 });
  const amounts = each.filter(({ numbers }) => numbers > rows.length / 2);
  const name = most('words');
  const phase = each.find(({ index, letters }) => index !== name.index && letters > rows.length / 2);
  return [
    ...(name.index < 0 ? [] : [{ index: name.index, role: 'name' as const, unit: undefined }]),
    ...amounts.map(({ index }) => ({ index, role: 'amount' as const, unit: undefined })),
    ...(phase ? [{ index: phase.index, role: 'phase' as const, unit: undefined }] : []),
  ];
}
