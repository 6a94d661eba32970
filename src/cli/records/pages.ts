/** `bismar pages`: all records as a small site of plain files, for a tablet at the shelf or a printer. No server is needed. */
import { createHash } from 'node:crypto';
import { existsSync, readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { barsOf } from '../../facts/bars.ts';
import { cleanText } from '../../facts/cleanText.ts';
import { type BatchEntry, type BatchLog, openLog } from '../../records/batchLog.ts';
import { batchIndex, type IndexedBatch, type IndexedLot, lotIndex } from '../../records/pages/indexPage.tsx';
import { pageName } from '../../records/pages/pageName.ts';
import { SiteFolder, SiteTrouble } from '../../records/pages/siteFolder.ts';
import { spelled } from '../../records/record/recordWords.ts';
import { batchPage } from '../../records/trace/batchPage.tsx';
import { lotKey } from '../../records/trace/flow.ts';
import type { LotName, TraceLook } from '../../records/trace/look.ts';
import { lotPage } from '../../records/trace/lotPage.tsx';
import { isPresent, type LotDesk, reportBatch, reportLot } from '../../records/trace/report.ts';
import type { TraceLinks } from '../../records/trace/traceParts.tsx';
import { barsInWords, papersInWords, stateInWords } from '../../records/trace/traceWords.ts';
import type { Workshop } from '../../workshop/model.ts';
import { Ending, EXIT, type ExitCode } from '../exit.ts';
import { isWorkshop, LOG_FILE, loadWorkshop, WORKSHOP_FILE } from '../folder.ts';
import { lotDesk } from '../stock/lotDesk.ts';
import { quoted } from '../weigh/hint.ts';
import { learnFrom } from './insight.ts';
import { pageOf } from './recordPage.ts';

const batchFile = (id: string) => `batch/${pageName(id)}`;
const lotsFile = (id: string) => `batch/${pageName(id).replace(/\.html$/, '-lots.html')}`;
const lotFile = ({ ingredient, lot }: LotName) => `lot/${pageName(ingredient, lot)}`;
const INDEX = 'index.html';
const LOTS = 'lots.html';
const INSIGHT = 'insight.html';
/** More batches than this take a while. */
const MANY = 200;
/** The batch itself, and the ten others that drying is learnt from. */
const NEWEST = 11;

/** Links between pages that lie in a folder of the site. */
const LINKS: Omit<TraceLinks, 'asOf'> = {
  batch: (id) => `../${batchFile(id)}`,
  lot: (ingredient, lot) => `../${lotFile({ ingredient, lot })}`,
  home: `../${INDEX}`,
};

export interface PagesOptions {
  readonly in: string;
  /** The program's version: another one makes all pages anew. */
  readonly version?: string | undefined;
}

export async function pages(folder: string, options: PagesOptions): Promise<ExitCode> {
  const workshop = isWorkshop(options.in) ? loadWorkshop(options.in) : undefined;
  const log = openLog(join(options.in, LOG_FILE), { readOnly: true });
  try {
    const site = new SiteFolder(folder);
    await writeAll(site, log, options, workshop);
    site.close();
    process.stdout.write(
      `${cleanText(join(folder, INDEX))}: ${site.changed} pages written, ${site.kept} were right already.\n`,
    );
    return EXIT.done;
  } catch (error) {
    if (error instanceof SiteTrouble) throw new Ending(EXIT.failed, error.message);
    throw error;
  } finally {
    log.close();
  }
}

async function writeAll(
  site: SiteFolder,
  log: BatchLog,
  { in: folder, version }: PagesOptions,
  workshop: Workshop | undefined,
): Promise<void> {
  const batches = log.batches();
  const ids = batches.map(({ id }) => id);
  const lots = log.traced((look) => lotsOf(look, ids));
  site.announce([
    ...[INDEX, LOTS, INSIGHT],
    ...ids.flatMap((id) => [batchFile(id), lotsFile(id)]),
    ...lots.map(lotFile),
  ]);
  if (ids.length > MANY) {
    process.stdout.write(`${ids.length} batches, ${lots.length} lots: the first time this takes a minute or so.\n`);
  }
  await writeRecords(site, log, folder, `${version} ${hashOfFiles(folder)}`, batches);
  const known = knownOn(log);
  log.traced((look) =>
    log.stock((stock) => writeTraces(site, look, lotDesk(workshop, stock), workshop, ids, lots, known)),
  );
  const { insight, proposals } = learnFrom(log);
  const { insightPage } = await import('../../records/insight/insightPage.tsx');
  site.write(INSIGHT, '', insightPage(insight, proposals, INDEX));
}

/** When the last fact of the log was: what the pages tell of. */
function knownOn(log: BatchLog): string {
  const last = log.rows((log.seal()?.seq ?? 1) - 1, 1)[0];
  return last === undefined ? 'no day: nothing was recorded yet' : spelled(last.at);
}

/** Writes a page with the day of what it tells, unless it is there and would say nothing else but another day. */
function writeDated(site: SiteFolder, file: string, known: string, page: (asOf: string) => string): void {
  const from = createHash('sha256').update(page('')).digest('base64url');
  if (site.isFresh(file, from)) site.keep();
  else site.write(file, from, page(known));
}

/** All lots that a batch drew from, each once. */
function lotsOf(look: TraceLook, ids: readonly string[]): LotName[] {
  const uses = ids.flatMap((id) => look.usesOfBatch(id));
  return [...new Map(uses.map(({ ingredient, lot }) => [lotKey({ ingredient, lot }), { ingredient, lot }])).values()];
}

/**
 * A record follows from the batch's facts, the workshop's files (its label) and how its formula's bars dry; while these are the same it is
 * not made again. Whether this bismar still makes the same page of the same facts is tried on one.
 */
async function writeRecords(
  site: SiteFolder,
  log: BatchLog,
  folder: string,
  made: string,
  batches: readonly BatchEntry[],
): Promise<void> {
  const drying = dryingSeen(log);
  const nav = (id: string) => [
    { href: `../${INDEX}`, text: 'All batches' },
    { href: `../${lotsFile(id)}`, text: 'Its lots, and where else they are' },
  ];
  let tried = false;
  let isSame = true;
  for (const { id, formula } of batches) {
    const from = `${made} ${drying(formula.id)} ${log.seal(id)?.hash}`;
    const file = batchFile(id);
    if (isSame && tried && site.isFresh(file, from)) {
      site.keep();
      continue;
    }
    const was = site.changed;
    const wasFresh = site.isFresh(file, from);
    site.write(file, from, await pageOf(folder, log, id, nav(id)));
    if (wasFresh) {
      tried = true;
      isSame &&= site.changed === was;
    }
  }
}

/**
 * How bars of a formula were seen to dry: the judgement on a batch's bars reckons with what its newest batches lost, so
 * an old record's page changes with them.
 */
function dryingSeen(log: BatchLog): (formula: string) => string {
  const known = new Map<string, string>();
  const batches = log.batches();
  return (formula) => {
    const found = known.get(formula);
    if (found !== undefined) return found;
    const newest = batches.filter((each) => each.formula.id === formula).slice(-NEWEST);
    const again = newest.flatMap(({ id }) => (barsOf(log.facts(id))?.bars ?? []).filter((bar) => bar.again.length > 0));
    const seen = createHash('sha256').update(JSON.stringify(again)).digest('base64url').slice(0, 16);
    known.set(formula, seen);
    return seen;
  };
}

/** The workshop's files that a label is made of. */
function hashOfFiles(folder: string): string {
  const hash = createHash('sha256');
  const formulas = join(folder, 'formulas');
  const names = existsSync(formulas) ? readdirSync(formulas).sort() : [];
  for (const file of [join(folder, WORKSHOP_FILE), ...names.map((name) => join(formulas, name))]) {
    if (existsSync(file)) hash.update(JSON.stringify([file, readFileSync(file, 'utf8')]));
  }
  return hash.digest('base64url').slice(0, 16);
}

function writeTraces(
  site: SiteFolder,
  look: TraceLook,
  desk: LotDesk,
  workshop: Workshop | undefined,
  ids: readonly string[],
  lots: readonly LotName[],
  known: string,
): void {
  const batches: IndexedBatch[] = [];
  for (const id of ids) {
    const report = reportBatch(look, desk, id);
    if (!report) continue;
    const { batch } = report;
    writeDated(site, lotsFile(id), known, (asOf) => batchPage(report, { ...LINKS, asOf }));
    batches.push({
      batch: id,
      href: batchFile(id),
      lotsHref: lotsFile(id),
      name: batch.name,
      version: batch.version,
      state: stateInWords(batch),
      bars: barsInWords(batch),
      lots: [...new Set(report.lots.filter(isPresent).map(({ lot }) => lot))],
    });
  }
  const indexed = lots.map((lot): IndexedLot => {
    const report = reportLot(look, desk, lot);
    const { name, papers } = report.lot;
    writeDated(site, lotFile(lot), known, (asOf) => lotPage(report, blockCommand(lot), { ...LINKS, asOf }));
    return {
      name,
      lot: lot.lot,
      href: lotFile(lot),
      papers: papersInWords(papers),
      batches: report.batches.filter(isPresent).length,
      blocked: papers.blocked !== null,
    };
  });
  const name = workshop?.name ?? 'the workshop';
  site.write(INDEX, '', batchIndex(name, batches.reverse(), known));
  site.write(
    LOTS,
    '',
    lotIndex(
      name,
      indexed.sort((a, b) => compare(a.name, b.name) || compare(a.lot, b.lot)),
      known,
    ),
  );
}

/** As it is typed in the workshop's folder: the pages do not know where they are read. */
function blockCommand({ ingredient, lot }: LotName): string {
  return `bismar lot block ${ingredient} ${quoted(lot)} --why "..."`;
}

function compare(a: string, b: string): number {
  return a < b ? -1 : a > b ? 1 : 0;
}
