/** Is this the right jar? A label that was scanned or typed, against the lots that the batch is drawn from. */
import { cleanText } from '../facts/cleanText.ts';
import { cutToWidth } from '../facts/textWidth.ts';
import { papersOf } from '../plan/lotPapers.ts';
import type { Plan, PlannedDraw } from '../plan/model.ts';
import { looksLikeGs1, readGs1, SEPARATOR, SEPARATOR_SHOWN } from './gs1.ts';

export interface LabelAsked {
  readonly plan: Plan;
  /** Draws that the jar may be for now: the present one; while everything is looked out, all that are still to do. */
  readonly wanted: readonly PlannedDraw[];
  /** `YYYY-MM-DD`. */
  readonly today: string;
  /** Why no batch may use a lot; null when one may. */
  readonly blockedFor: (ingredient: string, lot: string) => string | null;
}

export type LabelJudged =
  | {
      readonly ok: true;
      readonly draws: readonly string[];
      readonly ingredient: string;
      readonly lot: string;
      /** The label as text without anything hidden in it. */
      readonly label: string;
      readonly say: string;
    }
  | { readonly ok: false; readonly say: string };

const LONGEST_SHOWN = 40;

function draws({ tasks }: Plan): PlannedDraw[] {
  return tasks.filter((task) => task.kind === 'draw');
}

function sameCode(a: string, b: string | undefined): boolean {
  return b !== undefined && a.toUpperCase() === b.toUpperCase();
}

/** Whether a label with this code is on a jar of this lot: by the workshop's own code, or the supplier's. */
function isOf(plan: Plan, code: string, ingredient: string, lot: string): boolean {
  return sameCode(code, lot) || sameCode(code, papersOf(plan, ingredient, lot)?.supplierLot);
}

/** Every lot that the plan knows of, with its ingredient's name. */
function knownLots(plan: Plan): { ingredient: string; name: string; lot: string }[] {
  return draws(plan).flatMap(({ ingredient, name, lot }) => {
    const more = plan.lots && Object.hasOwn(plan.lots, ingredient) ? Object.keys(plan.lots[ingredient] ?? {}) : [];
    return [...new Set([lot, ...more])].map((each) => ({ ingredient, name, lot: each }));
  });
}

/** Whether a typed line is meant as a label, and not as a key or a weight. */
export function isLabel(text: string, plan: Plan): boolean {
  const code = text.trim();
  return looksLikeGs1(code) || knownLots(plan).some(({ ingredient, lot }) => isOf(plan, code, ingredient, lot));
}

/** Judges a label. Nothing is told of it that is not clean. */
export function judgeLabel(text: string, { plan, wanted, today, blockedFor }: LabelAsked): LabelJudged {
  const refused = (say: string): LabelJudged => ({ ok: false, say: cleanText(say) });
  const label = cleanText(text.trim().replaceAll(SEPARATOR, SEPARATOR_SHOWN));
  const read = looksLikeGs1(text.trim()) ? readGs1(text, Number(today.slice(0, 4))) : undefined;
  if (read && !read.ok) return refused(read.why);
  const code = read ? read.label.lot : label;
  if (code === undefined) return refused('This label has no lot on it (10). Type the lot code that stands on the jar.');
  if (wanted.length === 0) return refused('Nothing is to be taken out of a jar now.');

  const right = wanted.filter(({ ingredient, lot }) => isOf(plan, code, ingredient, lot));
  const [first] = right;
  if (!first) return refused(wrongJar(code, plan, wanted));
  const { ingredient, lot, name } = first;
  const until = earliest(read?.label.expires, papersOf(plan, ingredient, lot)?.expires);
  if (until !== undefined && until < today) {
    return refused(
      `${name}, lot ${lot}: good until ${until} only, and that is over. Put it back; it is not to be used.`,
    );
  }
  const blocked = blockedFor(ingredient, lot);
  if (blocked !== null)
    return refused(`${name}, lot ${lot}, is blocked (${blocked}). Put it back; it is not to be used.`);
  const of = right.filter((draw) => draw.ingredient === ingredient && draw.lot === lot).map(({ id }) => id);
  const say = `${name}, lot ${lot}: the right jar (${of.join(', ')}).`;
  return { ok: true, draws: of, ingredient, lot, label, say: cleanText(say) };
}

function earliest(a: string | undefined, b: string | undefined): string | undefined {
  return a === undefined || (b !== undefined && b < a) ? b : a;
}

function wrongJar(code: string, plan: Plan, wanted: readonly PlannedDraw[]): string {
  const shown = cutToWidth(cleanText(code), LONGEST_SHOWN);
  const known = knownLots(plan).find(({ ingredient, lot }) => isOf(plan, code, ingredient, lot));
  const isWhat = known ? `That is ${known.name}, lot ${known.lot}` : `Lot ${shown} is not in this batch`;
  const [only, more] = wanted;
  const instead =
    only && !more ? ` Wanted now is ${only.name}, lot ${only.lot}.` : ' Look at the list for the lots that are wanted.';
  return `The wrong jar: ${isWhat}. Put it back.${instead}`;
}
