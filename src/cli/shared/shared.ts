/** `bismar shared`: the history that several benches share. */
import { existsSync } from 'node:fs';
import { join } from 'node:path';
import { stateOf } from '../../facts/apply.ts';
import { cleanText } from '../../facts/cleanText.ts';
import { isOut } from '../../facts/handOver.ts';
import { type BatchLog, openLog, openLogIfBegun } from '../../records/batchLog.ts';
import { takeWritingRight } from '../../records/oneWriter.ts';
import { benchId, newBenchId } from '../../records/shared/benchId.ts';
import { setupSql } from '../../records/shared/schema.ts';
import { agreedHead, sendAfter } from '../../records/shared/send.ts';
import type { SharedHistory } from '../../records/shared/sharedHistory.ts';
import { type HistoryAddress, ROLE } from '../../workshop/historyAddress.ts';
import { Ending, EXIT, type ExitCode } from '../exit.ts';
import { LOG_FILE, loadWorkshop, WORKSHOP_FILE } from '../folder.ts';
import { hint } from '../weigh/hint.ts';
import { tellOffered } from './offered.ts';

const print = (line: string) => void process.stdout.write(`${cleanText(line)}\n`);

/** Prints the SQL that makes a database a shared history. */
export function setup(roles: readonly string[]): ExitCode {
  const odd = roles.find((role) => !ROLE.test(role));
  if (odd !== undefined) {
    throw new Ending(
      EXIT.wrongUse,
      `"${cleanText(odd).slice(0, 60)}" can't be a bench's role: small letters, digits and _ only, such as wet_room.`,
    );
  }
  process.stdout.write(setupSql(roles));
  return EXIT.done;
}

/** @throws Ending where the workshop has none */
export function historyAddress(folder: string): HistoryAddress {
  const address = loadWorkshop(folder).sharedHistory;
  if (address) return address;
  throw new Ending(
    EXIT.wrongUse,
    `This workshop has no shared history: ${WORKSHOP_FILE} would name it, as \`shared history: postgres://ROLE@SERVER/DATABASE\` (README, Several benches).`,
  );
}

/** Connects for as long as the work takes. @throws HistoryTrouble */
export async function withHistory<T>(folder: string, work: (history: SharedHistory) => Promise<T>): Promise<T> {
  const address = historyAddress(folder);
  const { connectHistory } = await import('../../records/shared/connect.ts');
  const history = await connectHistory(address);
  try {
    return await work(history);
  } finally {
    await history.close();
  }
}

async function withOwn<T>(
  folder: string,
  work: (log: BatchLog, bench: string, history: SharedHistory) => Promise<T>,
): Promise<T> {
  historyAddress(folder);
  const log = openLog(join(folder, LOG_FILE), { readOnly: true });
  try {
    return await withHistory(folder, (history) => work(log, benchId(folder), history));
  } finally {
    log.close();
  }
}

/** Sends all that has not arrived. It may run beside a bench that weighs. */
export function send(folder: string): Promise<ExitCode> {
  return withOwn(folder, async (log, bench, history) => {
    const head = await agreedHead(log, bench, history);
    const after = await sendAfter(log, bench, history, head);
    const sent = (after?.seq ?? 0) - (head?.seq ?? 0);
    print(
      `${sent === 0 ? 'Nothing was left to send' : `Sent ${facts(sent)}`}: the shared history has all ${facts(after?.seq ?? 0)} of this bench.`,
    );
    return EXIT.done;
  });
}

/** Who shares the history and how far each has come; what of this bench has not arrived. */
export async function state(folder: string): Promise<ExitCode> {
  const { role, host, database } = historyAddress(folder);
  print(`This bench is ${role}; the shared history is the database ${database} on ${host}.`);
  if (!existsSync(join(folder, LOG_FILE))) {
    print('No batch was begun here yet, so there is nothing to send.');
    return withHistory(folder, async (history) => {
      await tellOffered(history, role);
      return printBenches(history, undefined);
    });
  }
  return withOwn(folder, async (log, bench, history) => {
    const head = await agreedHead(log, bench, history);
    const waiting = (log.seal()?.seq ?? 0) - (head?.seq ?? 0);
    print(
      waiting === 0 ? 'All its facts have arrived.' : `${facts(waiting)} not sent yet: ${hint('shared send', folder)}`,
    );
    await tellOffered(history, role);
    return printBenches(history, bench);
  });
}

async function printBenches(history: SharedHistory, own: string | undefined): Promise<ExitCode> {
  for (const { bench, role, since, facts: count } of await history.benches()) {
    print(`  ${role.padEnd(16)} ${facts(count)}, since ${since.slice(0, 10)}${bench === own ? ' (this bench)' : ''}`);
  }
  return EXIT.done;
}

function facts(count: number): string {
  return count === 1 ? '1 fact' : `${count} facts`;
}

/** Makes this folder a bench of its own, after it was copied or an older log was put back. */
export function anew(folder: string): ExitCode {
  historyAddress(folder);
  const right = takeWritingRight(folder); // not while a bench sends under the other id
  try {
    mustHaveNothingOut(folder);
    newBenchId(folder);
  } finally {
    right.release();
  }
  print(
    `This folder is a bench of its own now. Its facts are sent with the next batch, or by: ${hint('shared send', folder)}`,
  );
  print(
    'Those that another bench has sent already, from before the folder was copied, are told apart and counted once.',
  );
  return EXIT.done;
}

/** Who weighs with another bench is known to it by this id. @throws Ending */
function mustHaveNothingOut(folder: string): void {
  const log = openLogIfBegun(join(folder, LOG_FILE));
  if (!log) return;
  try {
    for (const { id } of log.openBatches()) {
      const { handOvers, partOf } = stateOf(log.facts(id));
      const out = handOvers.find(isOut);
      if (!out && !partOf) continue;
      const how = out
        ? `has phase ${out.phases.join(' and ')} at ${out.to}: bring it in, or take it back first (${hint(`hand-over ${out.phases.join(' ')} --back`, folder)}, or --lost)`
        : `is part of a batch of ${partOf?.role}: end it first`;
      throw new Ending(EXIT.failed, cleanText(`Batch ${id} ${how}. Nothing was changed.`));
    }
  } finally {
    log.close();
  }
}
