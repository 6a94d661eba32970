/** `bismar join`: this bench weighs phases that another one has handed to it, as a batch of its own. */
import { stateOf } from '../../facts/apply.ts';
import type { BatchState, PartOf } from '../../facts/batchState.ts';
import { cleanText } from '../../facts/cleanText.ts';
import type { Fact } from '../../facts/fact.ts';
import type { Formula } from '../../formula/model.ts';
import { realClock } from '../../link/clock.ts';
import { ownScales, type Plan } from '../../plan/model.ts';
import { planPart } from '../../plan/plan.ts';
import { printRefusals } from '../../plan/printPlan.ts';
import type { BatchLog } from '../../records/batchLog.ts';
import { scalesStand } from '../../records/lastChecks.ts';
import { benchId } from '../../records/shared/benchId.ts';
import { HistoryTrouble } from '../../records/shared/historyTrouble.ts';
import { liveParts, type Offered, offeredTo, partsFor, theirBatch, whyNotJoined } from '../../records/shared/parts.ts';
import { agreedHead, sendAfter } from '../../records/shared/send.ts';
import { stamp } from '../../records/stamp.ts';
import type { Workshop } from '../../workshop/model.ts';
import { Ending, EXIT, type ExitCode } from '../exit.ts';
import { formulaIds, loadFormula, loadWorkshop } from '../folder.ts';
import { ingredientsOf } from '../planning.ts';
import { stockedNow } from '../stock/stockNow.ts';
import { hint } from '../weigh/hint.ts';
import { openScales } from '../weigh/scales.ts';
import { atBench, type BenchOptions } from '../weigh/weigh.ts';
import { operator, withLog } from '../withLog.ts';
import { phasesSay } from './handOverLine.ts';
import { historyAddress, withHistory } from './shared.ts';

export interface JoinOptions extends BenchOptions {
  readonly phase?: string | undefined;
}

/** @param wanted `wet_room/2026-11-25-1`; undefined: the only one that there is */
export async function joinBatch(wanted: string | undefined, options: JoinOptions): Promise<ExitCode> {
  const workshop = loadWorkshop(options.in);
  const by = operator(workshop, options.by);
  return withLog(options.in, async (log) => {
    const joining = await planJoining(options.in, workshop, wanted, options.phase);
    const { formula } = joining;
    const scales = await openScales(options.in, workshop, Object.keys(joining.plan.scales), realClock);
    const told = await beginPart(log, options.in, joining, by);
    const state = stateOf(log.facts(told[0]?.batch));
    return atBench(state, { log, by, scales, options, workshop, formula, told, open: [] });
  });
}

/** A part as it can be weighed here. */
export interface Joining extends Offered {
  readonly formula: Formula;
  readonly plan: Plan;
}

/**
 * Finds what was handed to this bench, and plans it for its own scales, vessels and lots. Writes nothing.
 * @throws HistoryTrouble; Ending where it is not this bench's to weigh, or can't be weighed here
 */
export async function planJoining(
  folder: string,
  workshop: Workshop,
  wanted?: string,
  phase?: string,
): Promise<Joining> {
  const { role } = historyAddress(folder);
  const offered = await withHistory(folder, async (history) => {
    const found = theOne(await offeredTo(history, role), { role, wanted, phase });
    await refuseTaken(history, found, benchId(folder), folder);
    return found;
  }).catch((error: unknown) => {
    if (!(error instanceof HistoryTrouble) || error.trouble !== 'away') throw error;
    throw new HistoryTrouble('away', `${error.message} Joining needs the network, once; weighing does not.`, error);
  });
  const whole = offered.whole.state.plan;
  const { id, name } = whole.formula;
  // The id is another bench's word: no path.
  if (!formulaIds(folder).includes(id)) {
    const why = `There is no formula ${id} here (${name}). Take over that bench's file as it is, as formulas/${id}.yaml, and join again.`;
    throw new Ending(EXIT.failed, cleanText(why));
  }
  const formula = loadFormula(folder, id, workshop);
  const today = stamp(new Date()).slice(0, 10);
  const now = stockedNow(folder, workshop, ingredientsOf(formula));
  const planned = planPart(now, formula, whole, offered.handOver.phases, today);
  if (!planned.ok) {
    const refused = printRefusals(formula, planned.refusals, process.stdout.columns).split('\n');
    throw new Ending(EXIT.failed, cleanLines(refused));
  }
  return { ...offered, formula, plan: planned.plan };
}

/**
 * Begins the part, and makes sure of it with the shared history.
 * @throws HistoryTrouble; Ending where the hand-over does not stand any more
 */
export async function beginPart(
  log: BatchLog,
  folder: string,
  { whole, handOver, plan }: Joining,
  by: string,
): Promise<readonly Fact[]> {
  const { bench, role, batch: of, head: seal } = whole;
  refuseBegun(log, { bench, of, number: handOver.number }, folder);
  const told = await log.append(log.newBatchId(), by, [
    { kind: 'batch-started', plan },
    { kind: 'joined', bench, role, of, number: handOver.number, seal },
    scalesStand(log, ownScales(plan)),
  ]);
  return [...told, ...(await confirmJoined(log, folder, stateOf(told), by))];
}

/** What was begun here, and not sent before the program was stopped, only the own log knows. @throws Ending */
function refuseBegun(
  log: BatchLog,
  { bench, of, number }: Pick<PartOf, 'bench' | 'of' | 'number'>,
  folder: string,
): void {
  for (const { id } of log.openBatches()) {
    const { partOf } = stateOf(log.facts(id));
    if (partOf?.bench === bench && partOf.of === of && partOf.number === number) throw joinedAlready(id, folder);
  }
}

function joinedAlready(part: string, folder: string, isOpen = true): Ending {
  const how = isOpen ? hint(`resume ${part}`, folder) : 'it is weighed.';
  return new Ending(EXIT.failed, `It is joined here already, as batch ${part}: ${how}`);
}

/** The hand-over that is meant. @throws Ending that lists them where it is not clear */
function theOne(
  offered: readonly Offered[],
  {
    role,
    wanted,
    phase,
  }: { readonly role: string; readonly wanted: string | undefined; readonly phase: string | undefined },
): Offered {
  const fitting = offered.filter(
    ({ name, whole, handOver }) =>
      (wanted === undefined || wanted === name || wanted === whole.batch) &&
      (phase === undefined || handOver.phases.includes(phase)),
  );
  const [only] = fitting;
  if (only && fitting.length === 1) return only;
  const lines = (fitting.length > 0 ? fitting : offered).map(
    ({ name, whole, handOver }) =>
      `  bismar join ${name} --phase ${handOver.phases[0]}    ${whole.state.plan.formula.name}, ${phasesSay(handOver.phases, whole.state.plan)}`,
  );
  if (fitting.length > 1) throw new Ending(EXIT.wrongUse, cleanLines(['Which? There are:', ...lines]));
  const none =
    wanted === undefined
      ? `No bench has handed ${phase === undefined ? 'anything' : `phase ${phase}`} to this one (${role})`
      : `Nothing of ${wanted} is handed to this bench (${role})${phase === undefined ? '' : ` with phase ${phase}`}`;
  const there =
    lines.length > 0
      ? ['. There is:', ...lines].join('\n')
      : '. At the bench that began the batch: bismar hand-over PHASE --to ROLE';
  throw new Ending(EXIT.failed, cleanLines(`${none}${there}`.split('\n')));
}

const cleanLines = (lines: readonly string[]) => lines.map(cleanText).join('\n');

async function refuseTaken(
  history: Parameters<typeof partsFor>[0],
  { whole, handOver }: Offered,
  own: string,
  folder: string,
): Promise<void> {
  const partOf: PartOf = {
    bench: whole.bench,
    role: whole.role,
    of: whole.batch,
    number: handOver.number,
    confirmed: false,
  };
  const parts = await partsFor(history, whole.bench, whole.batch, handOver);
  const why = whyNotJoined(partOf, own, whole, parts);
  if (why !== undefined) throw new Ending(EXIT.failed, cleanText(why));
  const mine = liveParts(parts).find(({ bench }) => bench === own);
  if (mine) throw joinedAlready(mine.batch, folder, mine.state.ended === 'open');
}

/**
 * Makes sure of a joining: it is sent, and then looked whether the hand-over still stands. Until then nothing of it is
 * weighed. Where it does not stand, the part is ended.
 * @throws HistoryTrouble; Ending where the hand-over does not stand any more
 */
export async function confirmJoined(
  log: BatchLog,
  folder: string,
  state: BatchState,
  by: string,
): Promise<readonly Fact[]> {
  const { partOf, batch } = state;
  if (!partOf || partOf.confirmed) return [];
  const own = benchId(folder);
  const why = await withHistory(folder, async (history) => {
    const sendAll = async () => sendAfter(log, own, history, await agreedHead(log, own, history));
    await sendAll();
    const whole = await theirBatch(history, { bench: partOf.bench, role: partOf.role }, partOf.of);
    const { role } = historyAddress(folder);
    const parts = await partsFor(history, partOf.bench, partOf.of, { number: partOf.number, to: role });
    const twin = liveParts(parts).find((part) => part.bench === own && part.batch !== batch);
    const told = twin ? `It is joined here already, as batch ${twin.batch}.` : whyNotJoined(partOf, own, whole, parts);
    if (told === undefined) return undefined;
    await log.append(batch, by, [{ kind: 'abandoned', reason: told }]);
    // The other bench waits to hear it; where the cable breaks just now, the next that is sent tells it.
    await sendAll().catch(() => {});
    return told;
  });
  if (why === undefined) return log.append(batch, by, [{ kind: 'join-confirmed' }]);
  throw new Ending(EXIT.failed, cleanText(`${why} Nothing was weighed here; batch ${batch} is ended.`));
}
