/** `bismar trace`: where a lot went, or what a batch came from. It reads, and works while another bismar weighs. */
import { cleanText } from '../../facts/cleanText.ts';
import { spelled } from '../../records/record/recordWords.ts';
import { batchMeant } from '../../records/resolveBatch.ts';
import { stamp } from '../../records/stamp.ts';
import { lotKey } from '../../records/trace/flow.ts';
import type { LotName, TraceLook } from '../../records/trace/look.ts';
import { type BatchReport, type LotDesk, type LotReport, reportBatch, reportLot } from '../../records/trace/report.ts';
import { Ending, EXIT, type ExitCode } from '../exit.ts';
import { isWorkshop, loadWorkshop } from '../folder.ts';
import { type BenchesOption, readingLog } from '../shared/benchesAsked.ts';
import { lotDesk, lotsByCode } from '../stock/lotDesk.ts';
import { hint, quoted } from '../weigh/hint.ts';
import { withLog } from '../withLog.ts';
import { writePage } from './writePage.ts';

export interface TraceOptions extends BenchesOption {
  readonly ingredient?: string | undefined;
  readonly csv?: boolean | undefined;
  readonly json?: boolean | undefined;
  readonly html?: string | undefined;
  readonly rebuild?: boolean | undefined;
}

type Found =
  /** None of that name, or more than one. */
  | { readonly kind: 'lots'; readonly lots: readonly LotName[] }
  | { readonly kind: 'lot'; readonly report: LotReport }
  | { readonly kind: 'batch'; readonly report: BatchReport };

export async function trace(wanted: string | undefined, options: TraceOptions): Promise<ExitCode> {
  const folder = options.in;
  if (options.rebuild) {
    await withLog(folder, async (log) => {
      log.countStockAnew();
      return EXIT.done;
    });
    process.stdout.write('Stock and traces were counted anew from all facts.\n');
    if (wanted === undefined) return EXIT.done;
  }
  const code = wanted?.trim() ?? '';
  if (code === '') {
    throw new Ending(EXIT.wrongUse, `Which lot or batch? Say its code, such as ${hint('trace SA-88', folder)}.`);
  }
  const workshop = isWorkshop(folder) ? loadWorkshop(folder) : undefined;
  return readingLog(options, async (log) => {
    const look = (of: string) => log.traced((trace) => log.stock((stock) => find(trace, lotDesk(workshop, stock), of)));
    let found = look(code);
    if (found.kind === 'lots' && found.lots.length === 0 && options.ingredient === undefined) {
      // The beginning of a batch's name does too, as it does for a record.
      const batch = batchMeant(log, code);
      if (batch.ok) found = look(batch.batch.id);
    }
    if (found.kind === 'lots') throw notOne(found.lots, code, options);
    await print(found, options);
    return EXIT.done;
  });

  function find(look: TraceLook, desk: LotDesk, of: string): Found {
    const batch = options.ingredient === undefined ? reportBatch(look, desk, of) : undefined;
    if (batch) return { kind: 'batch', report: batch };
    const named = lotsNamed(look, of);
    const lots = meant(named, of);
    const [only] = lots;
    if (!only || lots.length > 1) return { kind: 'lots', lots: only ? lots : named };
    return { kind: 'lot', report: reportLot(look, desk, only) };
  }

  function lotsNamed(look: TraceLook, of: string): LotName[] {
    const all = [...look.named(of), ...lotsByCode(workshop, of)];
    return [...new Map(all.map((lot) => [lotKey(lot), lot])).values()];
  }

  function meant(named: readonly LotName[], of: string): readonly LotName[] {
    const { ingredient } = options;
    const lots = named.filter((lot) => lot.ingredient === (ingredient ?? lot.ingredient));
    const exact = lots.filter(({ lot }) => lot === of);
    if (exact.length === 0) return lots;
    // Said with its ingredient, it is this one alone.
    if (ingredient !== undefined) return exact;
    // Two lots may differ in nothing but capitals: then the one that is written so is meant. More of it that came later
    // has a code of its own and this one as its supplier's: that must not stay unseen.
    return lots.filter(({ lot }) => lot === of || lot.toUpperCase() !== of.toUpperCase());
  }
}

function notOne(lots: readonly LotName[], code: string, { ingredient, in: folder }: TraceOptions): Ending {
  const shown = cleanText(code).slice(0, 40);
  if (lots.length === 0) {
    const where = `\`${hint('stock --all', folder)}\` lists all lots, \`${hint('log --all', folder)}\` all that happened.`;
    return new Ending(EXIT.failed, `No lot or batch here is called "${shown}", nor is it a supplier's code. ${where}`);
  }
  const ways = lots.map((lot) => `  ${hint(`trace ${quoted(lot.lot)} --ingredient ${lot.ingredient}`, folder)}`);
  const why = lots.some((lot) => lot.ingredient === (ingredient ?? lot.ingredient))
    ? `More than one lot is called "${shown}".`
    : `No lot "${shown}" is of ${cleanText(ingredient ?? '').slice(0, 40)}.`;
  return new Ending(EXIT.wrongUse, `${why} Say which:\n${ways.join('\n')}`);
}

async function print(found: Exclude<Found, { kind: 'lots' }>, options: TraceOptions): Promise<void> {
  const { in: folder, csv, json, html } = options;
  const out = (text: string) => void process.stdout.write(text);
  const block = (report: LotReport) =>
    hint(`lot block ${report.lot.ingredient} ${quoted(report.lot.lot)} --why "..."`, folder);
  if (html !== undefined) {
    const { lotPage } = await import('../../records/trace/lotPage.tsx');
    const { batchPage } = await import('../../records/trace/batchPage.tsx');
    const asOf = spelled(stamp(new Date()));
    const page =
      found.kind === 'lot' ? lotPage(found.report, block(found.report), { asOf }) : batchPage(found.report, { asOf });
    writePage(html, page);
    if (!csv && !json) out(`${cleanText(html)}\n`);
  }
  if (csv) {
    const { lotCsv, batchCsv } = await import('../../records/trace/traceCsv.ts');
    out(found.kind === 'lot' ? lotCsv(found.report) : batchCsv(found.report));
  }
  if (json) {
    const { lotJson, batchJson } = await import('../../records/trace/traceJson.ts');
    out(`${found.kind === 'lot' ? lotJson(found.report) : batchJson(found.report)}\n`);
  }
  if (html !== undefined || csv || json) return;
  const { lotText, batchText } = await import('../../records/trace/traceText.ts');
  const width = process.stdout.columns;
  out(
    `${found.kind === 'lot' ? lotText(found.report, block(found.report), width) : batchText(found.report, hint('trace LOT', folder), width)}\n`,
  );
}
