/** `bismar label`: what goes on the label of a batch or a formula. It reads only. */
import { existsSync } from 'node:fs';
import { join } from 'node:path';
import { stateOf } from '../../facts/apply.ts';
import { cleanText } from '../../facts/cleanText.ts';
import type { Use } from '../../formula/model.ts';
import { readNet } from '../../formula/readLabel.ts';
import { labelJson } from '../../label/labelJson.ts';
import { type LabelResult, type LabelWish, labelOfBatch, labelOfFormula } from '../../label/labelSheet.ts';
import { printLabel } from '../../label/printLabel.ts';
import { wrapText } from '../../plan/wrapText.ts';
import { openLog } from '../../records/batchLog.ts';
import { batchMeant } from '../../records/resolveBatch.ts';
import { safeJson } from '../../records/safeJson.ts';
import type { Workshop } from '../../workshop/model.ts';
import { Ending, EXIT, type ExitCode } from '../exit.ts';
import { formulaIds, LOG_FILE, loadFormula, loadFormulaIfSound, loadWorkshop } from '../folder.ts';
import { mustBeWhole } from '../portion/portionGate.ts';
import { hint } from '../weigh/hint.ts';

export interface LabelOptions {
  readonly use?: string;
  readonly net?: string;
  readonly json?: boolean;
  /** Compositions by the workshop file of today. */
  readonly asStatedNow?: boolean;
  readonly in: string;
}

/** @param of a formula's name or file, or a batch's id or its beginning; undefined for the newest batch */
export async function label(of: string | undefined, options: LabelOptions): Promise<ExitCode> {
  const wish = wishFrom(options);
  const workshop = loadWorkshop(options.in);
  const result = namesFormula(of, options.in)
    ? labelOfFormula(loadFormula(options.in, of, workshop), workshop, wish)
    : batchLabel(of, options.in, workshop, wish);
  if (!result.ok) throw new Ending(EXIT.failed, inTheWay(result.faults));
  const text = options.json ? safeJson(labelJson(result.sheet), 2) : printLabel(result.sheet, process.stdout.columns);
  process.stdout.write(`${text}\n`);
  return EXIT.done;
}

function wishFrom({ use, net, asStatedNow }: LabelOptions): LabelWish {
  if (use !== undefined && use !== 'rinse-off' && use !== 'leave-on') {
    throw new Ending(EXIT.wrongUse, '--use wants rinse-off or leave-on.');
  }
  const declared = net === undefined ? undefined : readNet(net);
  if (net !== undefined && !declared) {
    throw new Ending(
      EXIT.wrongUse,
      '--net wants the net weight as it is to be printed, such as --net 70g or --net 2.5oz.',
    );
  }
  return { use: use satisfies Use | undefined, net: declared, asStatedNow };
}

function namesFormula(of: string | undefined, folder: string): of is string {
  return of !== undefined && (/\.ya?ml$/i.test(of) || formulaIds(folder).includes(of));
}

function batchLabel(of: string | undefined, folder: string, workshop: Workshop, wish: LabelWish): LabelResult {
  const known = formulaIds(folder);
  const instead = known.length === 0 ? '' : ` Before a batch is weighed: ${hint(`label ${known[0] ?? ''}`, folder)}.`;
  if (!existsSync(join(folder, LOG_FILE))) {
    const named = of === undefined ? '' : `There is no formula "${cleanText(of).slice(0, 60)}". `;
    throw new Ending(EXIT.failed, `${named}No batch was begun in this workshop yet.${instead}`);
  }
  const log = openLog(join(folder, LOG_FILE), { readOnly: true });
  try {
    const found = batchMeant(log, of);
    if (!found.ok) {
      const either = of === undefined || known.length === 0 ? '' : ' No formula has this name either.';
      throw new Ending(EXIT.failed, `${found.say}${either}${instead}`);
    }
    const { id, status } = found.batch;
    if (status !== 'finished') {
      const why =
        status === 'open' ? 'is still open: its list is known when it is finished' : 'was given up: it has no label';
      throw new Ending(EXIT.failed, `Batch ${cleanText(id)} ${why}.${instead}`);
    }
    const facts = log.facts(id);
    const { plan, partOf } = stateOf(facts);
    mustBeWhole({ batch: id, partOf: partOf && { bench: partOf.role, batch: partOf.of } }, 'Its label is made there');
    return labelOfBatch({ id, plan }, facts, workshop, loadFormulaIfSound(folder, plan.formula.id, workshop), wish);
  } finally {
    log.close();
  }
}

function inTheWay(faults: readonly string[]): string {
  const width = Math.max(process.stderr.columns ?? 80, 60);
  return [
    'The list can not be written yet:',
    ...faults.flatMap((fault) => wrapText(fault, '  - ', width)),
    ...wrapText(
      'Write its parts into the workshop file, as its supplier states them: `made of:` with an `inci` and a `share` each, 100 % together.',
      '',
      width,
    ),
  ].join('\n');
}
