/** `bismar contents`: the net contents of a batch's bars, judged by the published rules. It reads only. */
import { join } from 'node:path';
import { judgementLines } from '../../contents/inWords.ts';
import { judgeLot, type LotJudgement } from '../../contents/judgeLot.ts';
import { type Bars, lotOf } from '../../facts/bars.ts';
import { cleanText } from '../../facts/cleanText.ts';
import { mass } from '../../mass/mass.ts';
import { exactGrams, printMass } from '../../mass/text.ts';
import { wrapText } from '../../plan/wrapText.ts';
import { unweighed } from '../../portion/running.ts';
import { type BatchLog, openLog } from '../../records/batchLog.ts';
import type { BatchRecord } from '../../records/record/batchRecord.ts';
import { batchMeant } from '../../records/resolveBatch.ts';
import { safeJson } from '../../records/safeJson.ts';
import type { Workshop } from '../../workshop/model.ts';
import { Ending, EXIT, type ExitCode } from '../exit.ts';
import { LOG_FILE, loadWorkshop } from '../folder.ts';
import { hint } from '../weigh/hint.ts';
import { formulaNow } from '../weigh/rescuing.ts';
import { barsSaid } from './barsSaid.ts';
import { recordOf } from './recordPage.ts';

export interface ContentsOptions {
  readonly in: string;
  readonly label?: string | undefined;
  readonly json?: boolean | undefined;
}

/** The judgement, and where the formula's word in it is taken from. */
export interface Judged extends LotJudgement {
  readonly notes: readonly string[];
}

export async function contents(wanted: string | undefined, options: ContentsOptions): Promise<ExitCode> {
  const workshop = loadWorkshop(options.in);
  const log = openLog(join(options.in, LOG_FILE), { readOnly: true });
  try {
    const found = batchMeant(log, wanted);
    if (!found.ok) throw new Ending(EXIT.failed, found.say);
    const { id } = found.batch;
    const record = recordOf(log, id);
    if (record.bars === null) {
      throw new Ending(
        EXIT.failed,
        `No bars of batch ${cleanText(id)} were weighed yet: \`${hint(`portion ${id}`, options.in)}\` weighs them off.`,
      );
    }
    const judged = judgementOf(log, record, workshop, options);
    if (judged === undefined) {
      throw new Ending(
        EXIT.failed,
        lotOf(record.bars).length === 0
          ? 'No bar is in the lot yet: there is nothing to judge.'
          : 'The net weight on the label is not known: --label 70g says it.',
      );
    }
    const lines = linesOf(judged, record.bars);
    const columns = Math.max(process.stdout.columns ?? 80, 60);
    const text = options.json ? safeJson(judgementData(id, judged, record.bars), 2) : judgementText(lines, columns);
    process.stdout.write(`${text}\n`);
    return EXIT.done;
  } finally {
    log.close();
  }
}

/** Sentences as lines of a terminal, what belongs to the one before set in. */
export function judgementText(lines: readonly string[], columns: number): string {
  return lines
    .flatMap((line) => {
      const inset = line.startsWith('  ') ? '  ' : '';
      return wrapText(cleanText(line).trim(), inset, columns);
    })
    .join('\n');
}

/** The judgement as sentences; undefined where no label is known or no bar is in the lot. */
export function contentsOf(
  log: BatchLog,
  record: BatchRecord,
  workshop: Workshop,
  options: ContentsOptions,
): readonly string[] | undefined {
  const judged = judgementOf(log, record, workshop, options);
  return judged && record.bars ? linesOf(judged, record.bars) : undefined;
}

/** What has to be known first, then the judgement. */
function linesOf(judged: Judged, bars: Bars): string[] {
  return [...notComplete(bars), ...judged.notes, ...judgementLines(judged)];
}

/** A lot that is still weighed off is judged as far as it is, and that is said first. */
function notComplete(bars: Bars): string[] {
  if (bars.ended !== null) return [];
  const left = unweighed(bars);
  const mix = left === null ? '' : ` ${printMass(left, { decimals: 1 })} g of the mix is not weighed off.`;
  return [`The lot is NOT COMPLETE: its bars are not ended.${mix} No verdict below is final.`];
}

/** The judgement; undefined where no label is known or no bar is in the lot. */
export function judgementOf(
  log: BatchLog,
  record: BatchRecord,
  workshop: Workshop,
  options: ContentsOptions,
): Judged | undefined {
  const { bars, plan } = record;
  if (bars === null) return undefined;
  const formula = formulaNow(options.in, plan.formula.id, workshop);
  const { declared, drying, notes } = barsSaid(log, record, formula, options.label);
  if (!declared) return undefined;
  const d = plan.scales[bars.scale]?.d ?? workshop.scales.get(bars.scale)?.d ?? mass(100_000);
  const judged = judgeLot(bars, declared.label, declared.unit, drying, d);
  return judged && { ...judged, notes };
}

/** The judgement as plain data for JSON. */
export function judgementData(batch: string, judged: Judged, bars: Bars) {
  const { label, drying, atSale, spread, packer, wholeLot, us, uncertainty } = judged;
  const left = unweighed(bars);
  const rounded = (micrograms: number) => exactGrams(mass(Math.round(micrograms)));
  return {
    batch,
    label_g: exactGrams(label),
    bars: atSale.length,
    // False while its bars are not ended: then no verdict here is final.
    complete: bars.ended !== null,
    mix_not_weighed_g: left === null ? null : exactGrams(left),
    drying: { share: drying.share, reckoned_with: drying.upper, from: drying.from, bars: drying.bars },
    at_sale_g: atSale.map(exactGrams),
    mean_g: spread ? rounded(spread.mean) : null,
    s_g: spread ? rounded(spread.s) : null,
    uncertainty_g: exactGrams(uncertainty),
    eu: packer
      ? {
          passes: packer.holds,
          tolerable_error_g: exactGrams(packer.tolerable),
          mean: packer.mean.holds,
          short: packer.short.found,
          short_at_most: packer.short.most,
          twice_short: packer.twice.found,
          whole_lot: wholeLot
            ? { defective: wholeLot.defective, at_most: wholeLot.most, passes: wholeLot.passes }
            : null,
        }
      : null,
    us: us
      ? {
          passes: us.passes,
          sample: us.plan.sample,
          factor: us.plan.factor,
          mean_error_g: rounded(us.meanError),
          mean_below_label: us.meanError < 0,
          error_limit_g: rounded(us.errorLimit),
          variation_g: exactGrams(us.variation),
          over_variation: us.over,
          over_at_most: us.plan.over,
        }
      : null,
    says: linesOf(judged, bars),
  };
}
