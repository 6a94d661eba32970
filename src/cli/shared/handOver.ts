/** `bismar hand-over`: phases of a batch to another bench, and back again where that is safe. */
import { join } from 'node:path';
import { stateOf } from '../../facts/apply.ts';
import type { BatchState, HandOver } from '../../facts/batchState.ts';
import { cleanText } from '../../facts/cleanText.ts';
import { isOut, whyNotHandOver } from '../../facts/handOver.ts';
import { type BatchLog, openLog } from '../../records/batchLog.ts';
import { batchMeant } from '../../records/resolveBatch.ts';
import { benchId } from '../../records/shared/benchId.ts';
import { HistoryTrouble } from '../../records/shared/historyTrouble.ts';
import { isKnownOtherwise, liveParts, partsFor, type Theirs } from '../../records/shared/parts.ts';
import { agreedHead, sendAfter } from '../../records/shared/send.ts';
import type { SharedHistory } from '../../records/shared/sharedHistory.ts';
import { ROLE } from '../../workshop/historyAddress.ts';
import { Ending, EXIT, type ExitCode } from '../exit.ts';
import { LOG_FILE, loadWorkshop } from '../folder.ts';
import { hint } from '../weigh/hint.ts';
import { operator, withLog } from '../withLog.ts';
import { phasesSay } from './handOverLine.ts';
import { historyAddress, withHistory } from './shared.ts';

export interface HandOverOptions {
  readonly to?: string;
  readonly batch?: string;
  readonly back?: boolean;
  /** Taken back without asking: why nothing of what the other bench has weighed gets into the batch. */
  readonly lost?: string;
  readonly by?: string;
  readonly in: string;
}

const print = (line: string) => void process.stdout.write(`${cleanText(line)}\n`);

/** @param phases their ids; none: says how the hand-overs of the batch stand */
export async function handOver(phases: readonly string[], options: HandOverOptions): Promise<ExitCode> {
  const { role } = historyAddress(options.in);
  if (phases.length === 0) return tellAll(options);
  if (options.back !== true && options.lost === undefined) {
    const to = roleAsked(options.to, role);
    return withBatch(options, (log, state, by) => hand(log, state, { phases, to, by, folder: options.in }));
  }
  return withBatch(options, async (log, state, by) => {
    const isMeant = (each: HandOver) => isOut(each) && phases.some((phase) => each.phases.includes(phase));
    const [out, other] = state.handOvers.filter(isMeant);
    if (other) throw new Ending(EXIT.wrongUse, 'They were handed over one after the other: say it for each.');
    if (!out) throw new Ending(EXIT.failed, `Phase ${phases.join(' and ')} is at no other bench.`);
    return takeBack(log, state, out, { by, folder: options.in, lost: options.lost });
  });
}

function roleAsked(to: string | undefined, own: string): string {
  if (to === undefined)
    throw new Ending(EXIT.wrongUse, 'To which bench? Say --to and its role, such as --to dye_room.');
  if (!ROLE.test(to)) throw new Ending(EXIT.wrongUse, `"${cleanText(to).slice(0, 60)}" is no role of a bench.`);
  if (to === own) throw new Ending(EXIT.wrongUse, `${to} is this bench itself.`);
  return to;
}

function withBatch(
  { batch, by: named, in: folder }: HandOverOptions,
  work: (log: BatchLog, state: BatchState, by: string) => Promise<ExitCode>,
): Promise<ExitCode> {
  const by = operator(loadWorkshop(folder), named);
  return withLog(folder, async (log) => {
    const found = batchMeant(log, batch, { open: true });
    if (!found.ok) throw new Ending(EXIT.failed, found.say);
    return work(log, stateOf(log.facts(found.batch.id)), by);
  });
}

interface Handing {
  readonly phases: readonly string[];
  readonly to: string;
  readonly by: string;
  readonly folder: string;
}

async function hand(log: BatchLog, state: BatchState, { phases: asked, to, by, folder }: Handing): Promise<ExitCode> {
  const known = state.plan.phases.map(({ id }) => id);
  const phases = [...new Set(asked)].sort((a, b) => known.indexOf(a) - known.indexOf(b));
  const why = whyNotHandOver(state, phases);
  if (why !== undefined) throw new Ending(EXIT.failed, why);
  const number = state.handOvers.length + 1;
  await log.append(state.batch, by, [{ kind: 'handed-over', number, phases, to }]);
  const { role } = historyAddress(folder);
  print(
    `Batch ${state.batch}: ${phasesSay(phases, state.plan)} is ${to}'s now. There: bismar join ${role}/${state.batch}`,
  );
  await sendNow(log, folder, async (history) => {
    if ((await history.benches()).some((bench) => bench.role === to)) return;
    print(`No bench of the name ${to} has ever sent anything: is it written right? --back takes it back.`);
  });
  print('Here the batch goes on with:');
  print(`  ${hint(`resume ${state.batch}`, folder)}`);
  return EXIT.done;
}

/** Sends what was written; where that can't be done now, it goes with the batch. */
async function sendNow(log: BatchLog, folder: string, then: (history: SharedHistory) => Promise<void>): Promise<void> {
  try {
    await withHistory(folder, async (history) => {
      await sendAll(log, folder, history);
      await then(history);
    });
  } catch (error) {
    if (!(error instanceof HistoryTrouble)) throw error;
    print(`${error.message} The other bench hears of it once it is sent: with the batch, or by bismar shared send.`);
  }
}

async function sendAll(log: BatchLog, folder: string, history: SharedHistory): Promise<void> {
  const bench = benchId(folder);
  await sendAfter(log, bench, history, await agreedHead(log, bench, history));
}

interface TakingBack {
  readonly by: string;
  readonly folder: string;
  readonly lost: string | undefined;
}

/**
 * Takes phases back. Without a reason only where the history shows that the other bench has begun nothing, or has given up
 * what it had begun; the wish is sent first, so that nobody can begin in the meantime.
 */
async function takeBack(
  log: BatchLog,
  { batch, plan }: BatchState,
  handOver: HandOver,
  { by, folder, lost }: TakingBack,
): Promise<ExitCode> {
  const { number, phases, to, stands } = handOver;
  const which = phasesSay(phases, plan);
  if (lost !== undefined) {
    const reason = cleanText(lost).trim();
    if (reason === '')
      throw new Ending(EXIT.wrongUse, '--lost wants the reason, such as --lost "their tub fell down".');
    await log.append(batch, by, [{ kind: 'called-back', number, reason }]);
    print(
      `${which} is weighed here. Whatever ${to} has weighed of it must not get into this batch: mark its vessel, or empty it.`,
    );
    await sendNow(log, folder, async () => {});
    return EXIT.done;
  }
  if (stands === 'out') await log.append(batch, by, [{ kind: 'calling-back', number }]);
  try {
    return await withHistory(folder, async (history) => {
      await sendAll(log, folder, history);
      const parts = await partsFor(history, benchId(folder), batch, handOver);
      if (await isKnownOtherwise(history, benchId(folder), batch)) {
        const why = `Batch ${batch} was begun by this folder as another bench (its file bench.id was lost, or made anew), and what ${to} weighs belongs to that one. Ask at ${to}; then take it back by --lost "why", and nothing weighed there may get into this batch.`;
        throw new Ending(EXIT.failed, why);
      }
      const [part] = liveParts(parts);
      if (part) throw new Ending(EXIT.failed, cleanText(begunThere(part)));
      await log.append(batch, by, [{ kind: 'called-back', number, reason: null }]);
      print(`${which} is back: ${backFrom(to, parts)} Go on with: ${hint(`resume ${batch}`, folder)}`);
      await sendNow(log, folder, async () => {});
      return EXIT.done;
    });
  } catch (error) {
    if (!(error instanceof HistoryTrouble)) throw error;
    const noted = `It is noted that ${which} is wanted back; until the history shows that ${to} has not begun it, it stays there.`;
    const again = `Then say this again: ${hint(`hand-over ${phases.join(' ')} --back --batch ${batch}`, folder)}`;
    throw new Ending(EXIT.failed, `${error.message} ${cleanText(noted)} ${again}`);
  }
}

/** What a vessel that the other bench had begun with may still hold. */
export function backFrom(to: string, givenUp: readonly Pick<Theirs, 'state'>[]): string {
  // A draw that was only begun counts: something may have been poured that nobody accepted.
  const begun = givenUp.some(({ state }) =>
    Object.values(state.draws).some(({ status, base }) => status !== 'open' || base !== null),
  );
  return begun
    ? `${to} gave up what it had begun. Nothing of that may get into this batch: mark its vessel there, or empty it.`
    : `${to} has weighed nothing of it.`;
}

function begunThere({ role, batch, state }: Theirs): string {
  return `${role} has begun it (its batch ${batch}, ${state.ended}): it stays there. There it can be given up (x, then e); then say this again. If its bench is out of reach for good: --lost "why", and nothing of what it has weighed may get into this batch.`;
}

/** How the hand-overs of a batch stand, by its own log. */
function tellAll({ batch, in: folder }: HandOverOptions): ExitCode {
  const log = openLog(join(folder, LOG_FILE), { readOnly: true });
  try {
    const found = batchMeant(log, batch);
    if (!found.ok) throw new Ending(EXIT.failed, found.say);
    const { handOvers, plan } = stateOf(log.facts(found.batch.id));
    const how = {
      out: 'not back yet',
      calling: 'wanted back, and not back yet',
      back: 'taken back',
      in: 'weighed, and brought in',
    };
    if (handOvers.length === 0) print(`Batch ${found.batch.id}: nothing is handed over. Its phases:`);
    else print(`Batch ${found.batch.id}:`);
    for (const { phases, to, stands } of handOvers) print(`  ${phasesSay(phases, plan)} to ${to}: ${how[stands]}`);
    if (handOvers.length === 0) for (const { id, name } of plan.phases) print(`  ${id}  ${name}`);
    return EXIT.done;
  } finally {
    log.close();
  }
}
