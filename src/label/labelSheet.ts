/** All that goes on a label, worked out from a batch or a formula, as plain data: for text, JSON and a page alike. */
import { cleanText } from '../facts/cleanText.ts';
import type { Fact } from '../facts/fact.ts';
import type { Ceiling, Formula, NetDeclared, Use } from '../formula/model.ts';
import { type Mass, mass } from '../mass/mass.ts';
import { printMass } from '../mass/text.ts';
import type { Plan, PlannedLabel } from '../plan/model.ts';
import type { Workshop } from '../workshop/model.ts';
import { allergensToName } from './allergens.ts';
import { doubtfulDraws, type Material, plannedAmounts, totalOf, usedAmounts } from './amounts.ts';
import { asBegun } from './asBegun.ts';
import { ingredientList, listText, type Row } from './ingredientList.ts';
import { allergenNotes, CHECK_IT, ruleNotes, tieNotes } from './labelNotes.ts';
import { type Level, levelsOf } from './levels.ts';
import { keepsToNet, type NetContents, netContents } from './netContents.ts';
import { saidAsBegun } from './saidAsBegun.ts';
import { takeApart } from './takeApart.ts';

export interface PlaceList {
  readonly rows: readonly Row[];
  /** `Ingredients: ...`, to be printed. */
  readonly text: string;
}

export interface LabelSheet {
  readonly formula: Plan['formula'];
  /** By what was really weighed, or by the formula's shares. */
  readonly basis: 'weighed' | 'planned';
  /** null for a formula. */
  readonly batch: string | null;
  /** All that counts as added; null for a formula. */
  readonly mass: Mass | null;
  /** undefined where it is not stated: then it is reckoned as leave-on. */
  readonly use: Use | undefined;
  readonly EU: PlaceList;
  readonly US: PlaceList;
  /** null where no net weight is stated. */
  readonly net: NetContents | null;
  /** The formula's limits; none where the formula is not at hand. */
  readonly levels: readonly Level[];
  /** Sentences; the first says that a qualified person has to check it. */
  readonly notes: readonly string[];
}

export type LabelResult =
  | { readonly ok: true; readonly sheet: LabelSheet }
  /** What keeps it from being written, sentences. */
  | { readonly ok: false; readonly faults: readonly string[] };

/** What is said on the command line; it counts before the formula's `label`. */
export interface LabelWish {
  readonly use?: Use | undefined;
  readonly net?: NetDeclared | undefined;
  /** What the ingredients are made of: by the workshop file of today, whatever was stated when the batch was begun. */
  readonly asStatedNow?: boolean | undefined;
}

/**
 * The label of a finished batch, from the weights really used.
 * @param facts all facts of the batch, in order
 * @param formula as its file has it now; undefined where it is gone: then there are no limits
 * @param batch its id and its plan as it ended
 * @param today the workshop as its file is now; what the plan has kept of its ingredients counts before it
 */
export function labelOfBatch(
  batch: { readonly id: string; readonly plan: Plan },
  facts: readonly Fact[],
  today: Workshop,
  formula: Formula | undefined,
  wish: LabelWish = {},
): LabelResult {
  const { workshop, notes: stated } = asBegun(wish.asStatedNow ? {} : batch.plan, today);
  const notes: string[] = [];
  const version = cleanText(batch.plan.formula.version);
  if (!formula) notes.push('The formula is not at hand, or its file has faults: its limits were not looked at.');
  else if (formula.version !== version) {
    notes.push(
      `The formula is at version ${formula.version} by now, the batch at ${version}: its limits are those of today.`,
    );
  }
  notes.push(...stated);
  const doubtful = doubtfulDraws(facts);
  if (doubtful.length > 0) notes.push(`Weights marked as doubtful are in: ${doubtful.join(', ')}. See the record.`);
  const materials = usedAmounts(facts);
  const weighed = { basis: 'weighed', batch: cleanText(batch.id), mass: mass(totalOf(materials)) } as const;
  const said = wish.asStatedNow ? formula?.label : saidThen(batch.plan, formula?.label, notes);
  const of = { formula: batch.plan.formula, bar: batch.plan.bar ?? undefined, said, limits: formula?.limits ?? [] };
  return sheetOf(weighed, of, materials, workshop, wish, notes);
}

/** The label that a formula will have when every target is hit. */
export function labelOfFormula(formula: Formula, workshop: Workshop, wish: LabelWish = {}): LabelResult {
  const { id, name, version, bar, label: said, limits = [] } = formula;
  const planned = { basis: 'planned', batch: null, mass: null } as const;
  const materials = plannedAmounts(formula, workshop);
  return sheetOf(planned, { formula: { id, name, version }, bar, said, limits }, materials, workshop, wish, []);
}

/** What the formula said for the label when the batch was begun, and that it says otherwise by now. */
function saidThen(plan: Plan, now: PlannedLabel | undefined, notes: string[]): PlannedLabel | undefined {
  const { said, isOfToday, otherwise } = saidAsBegun(plan, now);
  if (isOfToday && now) notes.push('Net weight, use and drying are taken from the formula as it is today.');
  const others = Object.values(otherwise);
  if (others.length > 0) {
    notes.push(
      `The formula says otherwise by now than when the batch was begun (${others.join(', ')}). What it said then counts; --as-stated-now takes the file of today.`,
    );
  }
  return said;
}

/** What the sheet is of. */
interface Labelled {
  readonly formula: LabelSheet['formula'];
  readonly bar: Mass | undefined;
  readonly said: PlannedLabel | undefined;
  readonly limits: readonly Ceiling[];
}

function sheetOf(
  from: Pick<LabelSheet, 'basis' | 'batch' | 'mass'>,
  { formula: titled, bar, said, limits }: Labelled,
  asBought: readonly Material[],
  workshop: Workshop,
  wish: LabelWish,
  notes: readonly string[],
): LabelResult {
  const materials = asBought.map((each) => ({
    ...each,
    name: cleanText(each.name),
    inci: cleanText(each.inci).replace(/\s+/g, ' ').trim() || '(no name)',
  }));
  const mix = takeApart(materials, workshop);
  if (mix.unknown.length > 0) return { ok: false, faults: mix.unknown };
  if (mix.total === 0n) return { ok: false, faults: ['Nothing was weighed, so there is nothing to list.'] };

  const use = wish.use ?? said?.use;
  const drying = said?.dryingPpm ?? 0;
  const rows = ingredientList('EU', mix, allergensToName(mix, use ?? 'leave-on', drying));
  const rowsInUS = ingredientList('US', mix, []);
  const net = wish.net ?? said?.net;
  return {
    ok: true,
    sheet: {
      ...from,
      formula: { id: titled.id, name: cleanText(titled.name), version: cleanText(titled.version) },
      use,
      EU: { rows, text: listText(rows) },
      US: { rows: rowsInUS, text: listText(rowsInUS) },
      net: net ? netContents(net) : null,
      levels: levelsOf(materials, limits, workshop),
      notes: [
        CHECK_IT,
        ...netNotes(net, bar, drying),
        ...tieNotes(rows, from.basis),
        ...mix.notes,
        ...notes,
        ...allergenNotes(mix, use),
        ...ruleNotes(mix),
      ],
    },
  };
}

function netNotes(net: NetDeclared | undefined, bar: Mass | undefined, dryingPpm: number): string[] {
  if (!net) return ['No net weight is stated. In the formula: `label: { net: 70 g }`.'];
  if (bar === undefined || keepsToNet(net, bar, dryingPpm)) return [];
  const dry = printMass(mass(Math.floor((bar * (1_000_000 - dryingPpm)) / 1_000_000)), {
    decimals: 1,
    rounding: 'down',
  });
  const of = `A bar of ${printMass(bar, { decimals: 1 })} g`;
  const dried = dryingPpm === 0 ? `${of} weighs less` : `${of} weighs ${dry} g once dried, less`;
  return [`${dried} than the ${net.number} ${net.unit} declared: declare less, or press heavier.`];
}
