/** `bismar formula import`: a formula out of a spreadsheet. It asks only what the sheet does not tell. */
import { existsSync } from 'node:fs';
import { basename, join } from 'node:path';
import type { Readable } from 'node:stream';
import { formulaText } from '../../bring/formulaText.ts';
import { ingredientSkeleton } from '../../bring/ingredientSkeleton.ts';
import { type Matched, matchIngredients, plainName, type Unmatched } from '../../bring/match.ts';
import type { Draft } from '../../bring/model.ts';
import { cleanText } from '../../facts/cleanText.ts';
import type { Workshop } from '../../workshop/model.ts';
import { nameHint } from '../../workshop/nearest.ts';
import { Ending, EXIT, type ExitCode } from '../exit.ts';
import { loadWorkshop } from '../folder.ts';
import { hint } from '../weigh/hint.ts';
import { FormLeft, type FormTalk, openForm } from './formTalk.ts';
import { newFormulaFile, writeFormula, writeNew } from './formulaFile.ts';
import { type AnswerOptions, answersFrom, draftFrom, readSheet } from './formulaSheet.ts';

export interface ImportOptions extends AnswerOptions {
  readonly in: string;
  readonly name?: string | undefined;
  /** `bowl`, or `A=melt-jug` for one phase. */
  readonly vessel?: readonly string[] | undefined;
  readonly band?: string | undefined;
  /** `NAME=ingredient`. */
  readonly same?: readonly string[] | undefined;
}

/** What importing needs of the world; tests bring their own. */
export interface ImportWorld {
  /** undefined: nobody is there to answer, so open questions end it. */
  readonly input: Readable | undefined;
  readonly print: (line: string) => void;
}

const USUAL_BAND = '2 %';
const SKELETON_FILE = 'new-ingredients.yaml';

function realWorld(): ImportWorld {
  return {
    input: process.stdin.isTTY && process.stdout.isTTY ? process.stdin : undefined,
    print: (line) => void process.stdout.write(`${line}\n`),
  };
}

/** Splits `NAME=word` at its last `=`, for a name may have one, too. */
function pairs(list: readonly string[] | undefined): [string, string][] {
  return (list ?? []).map((each) => {
    const at = each.lastIndexOf('=');
    return at < 0 ? ['', each.trim()] : [each.slice(0, at).trim(), each.slice(at + 1).trim()];
  });
}

async function match(
  draft: Draft,
  workshop: Workshop,
  options: ImportOptions,
  talk: FormTalk | undefined,
): Promise<Matched> {
  const same = new Map(pairs(options.same));
  for (const id of same.values()) {
    if (workshop.ingredients.has(id)) continue;
    const near = nameHint(id, workshop.ingredients.keys());
    throw new Ending(
      EXIT.wrongUse,
      `--same wants NAME=ingredient, and \`${cleanText(id)}\` is no ingredient of the workshop${near ? ` (${near})` : ''}.`,
    );
  }
  const matched = matchIngredients(draft.lines, workshop, same);
  for (const { name, maybe } of talk === undefined ? [] : matched.unknown) {
    if (maybe.length === 0) continue;
    const list = maybe.map((each) => `\`${each.id}\` (${each.name})`).join(', ');
    const id = await talk?.ask(`Is \`${name}\` one of these: ${list}? Type which, or Enter for a new ingredient.`);
    if (id !== undefined && workshop.ingredients.has(id)) same.set(name, id);
  }
  return matchIngredients(draft.lines, workshop, same);
}

/** Which ingredients are new, and where their entries were written. */
function tellUnknown(folder: string, workshop: Workshop, unknown: readonly Unmatched[]): Ending {
  const list = unknown.map(({ name, maybe }) => {
    const near = maybe.map(({ id }) => `--same "${name}=${id}"`).join(', or ');
    return `  ${name}${near === '' ? '' : `\n      is it one you have? ${near}`}`;
  });
  const file = join(folder, SKELETON_FILE);
  const lines = ['The workshop does not know these ingredients, so no formula was written:', ...list];
  if (existsSync(file)) {
    lines.push(`${cleanText(file)} is there already and was left as it is: empty it into workshop.yaml, or remove it.`);
  } else {
    writeNew(file, ingredientSkeleton(unknown, workshop.ingredients.keys()));
    lines.push(
      `Entries for them are in ${cleanText(file)}. Look them over and move them into workshop.yaml; then import again.`,
    );
  }
  return new Ending(EXIT.wrongUse, lines.join('\n'));
}

/** The vessel of each phase: said, asked, or the only one that there is. */
async function vesselsFor(draft: Draft, workshop: Workshop, options: ImportOptions, talk: FormTalk | undefined) {
  const said = new Map(pairs(options.vessel).map(([phase, vessel]) => [phase.toUpperCase(), vessel]));
  for (const id of said.values()) {
    if (!workshop.vessels.has(id)) {
      const near = nameHint(id, workshop.vessels.keys());
      throw new Ending(
        EXIT.wrongUse,
        `--vessel: \`${cleanText(id)}\` is no vessel of the workshop${near ? ` (${near})` : ''}.`,
      );
    }
  }
  const roomy = [...workshop.vessels.values()].filter(({ usableMl }) => usableMl !== undefined);
  const only = roomy.length === 1 ? roomy[0]?.id : undefined;
  const vessels = new Map<string, string>();
  for (const { id, name } of draft.phases) {
    let vessel = said.get(id) ?? said.get('') ?? only;
    while (vessel === undefined && talk !== undefined) {
      const word = await talk.ask(
        `Phase ${id}, ${name}: into which vessel? ${roomy.map((each) => each.id).join(', ')}`,
      );
      vessel = workshop.vessels.has(word) ? word : undefined;
    }
    if (vessel !== undefined) vessels.set(id, vessel);
  }
  const open = draft.phases.filter(({ id }) => !vessels.has(id));
  if (open.length === 0) return vessels;
  const list = open.map(({ id, name }) => `  --vessel ${id}=VESSEL: for phase ${id}, ${name}`);
  const known = roomy.map(({ id }) => id).join(', ');
  throw new Ending(
    EXIT.wrongUse,
    [
      `A sheet does not say what goes into which vessel. Nothing was changed. Run it again with`,
      ...list,
      `(or one --vessel VESSEL for all). There are: ${known}.`,
    ].join('\n'),
  );
}

/** @param file a CSV file */
export async function formulaImport(
  file: string,
  options: ImportOptions,
  world: ImportWorld = realWorld(),
): Promise<ExitCode> {
  const { in: folder } = options;
  const answers = answersFrom(options);
  const workshop = loadWorkshop(folder);
  const rows = readSheet(file);
  const name = cleanText(
    options.name ??
      basename(file)
        .replace(/\.[a-z]+$/i, '')
        .replace(/[_-]+/g, ' '),
  ).trim();
  const target = newFormulaFile(folder, name);
  const talk = world.input === undefined ? undefined : openForm(world.input, world.print);
  try {
    const draft = await draftFrom(file, rows, answers, talk);
    const { known, unknown } = await match(draft, workshop, options, talk);
    if (unknown.length > 0) throw tellUnknown(folder, workshop, unknown);
    const vessels = await vesselsFor(draft, workshop, options, talk);
    const band = options.band ?? USUAL_BAND;
    const ids = new Map([...known].map(([each, { id }]) => [each, id]));
    const text = `# From ${cleanText(basename(file))}. Look it over: bands, what may never be too much, and the steps between.\n${formulaText(draft, { name, vessels, band, ids })}`;
    const formula = writeFormula(target, text, workshop);
    for (const note of draft.notes) world.print(note);
    for (const [each, { id, name: own }] of known) {
      if (![id, own].some((one) => plainName(one) === plainName(each))) world.print(`${each} is taken as ${id}.`);
    }
    world.print(
      `${cleanText(target)} is written: ${draft.lines.length} ingredients in ${formula.phases.length} ${formula.phases.length === 1 ? 'phase' : 'phases'}, each within ${band}.`,
    );
    world.print(`Add steps, highest levels and cautions to it, then: ${hint(`plan ${formula.id}`, folder)}`);
    return EXIT.done;
  } catch (error) {
    if (!(error instanceof FormLeft)) throw error;
    world.print('You left before the end. Nothing was written.');
    return EXIT.failed;
  } finally {
    talk?.close();
  }
}
