/**
 * Hand-overs and parts, as the shared history knows them. Whoever decides by what is not there (nobody has joined; nobody
 * wants it back) first sends its own word and waits until that has arrived: of two benches that do so at the same time at
 * least one sees the other's.
 */
import { stateOf } from '../../facts/apply.ts';
import type { BatchState, HandOver, PartOf } from '../../facts/batchState.ts';
import type { Happened } from '../../facts/fact.ts';
import { handOverOf, isOut } from '../../facts/handOver.ts';
import type { ToldFact } from '../../facts/handOverFacts.ts';
import { readFact } from '../../facts/readFact.ts';
import { isPartOf } from '../../plan/plan.ts';
import { HistoryTrouble } from './historyTrouble.ts';
import { readBatch, type TheirBatch } from './readBatch.ts';
import { namesOf } from './readBenches.ts';
import type { KnownBench, LogRow, SharedHistory } from './sharedHistory.ts';

/** A batch of another bench, as far as it has been sent. */
export interface Theirs extends TheirBatch {
  readonly bench: string;
  readonly role: string;
  readonly batch: string;
  readonly state: BatchState;
}

/** Another bench's batch. @throws HistoryTrouble */
export async function theirBatch(
  history: SharedHistory,
  { bench, role }: Pick<KnownBench, 'bench' | 'role'>,
  batch: string,
): Promise<Theirs | undefined> {
  const read = await readBatch(history, bench, role, batch);
  if (read?.facts[0]?.kind !== 'batch-started') return undefined;
  return { ...read, bench, role, batch, state: stateOf(read.facts) };
}

/** Something handed to a role, that nobody has brought in or taken back. */
export interface Offered {
  /** Of the whole batch, as across all benches: `wet_room/2026-11-25-1`. */
  readonly name: string;
  readonly whole: Theirs;
  readonly handOver: HandOver;
}

/**
 * All that is handed to a role and may be joined, whether somebody has joined already or not; the oldest first. A batch that
 * can't be used keeps no other from being joined.
 * @throws HistoryTrouble `unsound` where nothing else is there
 */
export async function offeredTo(history: SharedHistory, role: string): Promise<Offered[]> {
  const found: Offered[] = [];
  let fault: HistoryTrouble | undefined;
  const benches = await history.benches();
  const names = namesOf(benches);
  for (const bench of benches) {
    const rows = await history.ofKind(bench.bench, 'handed-over', 0);
    const mine = rows.filter((row) => factIn(row)?.to === role);
    for (const batch of new Set(mine.map((row) => row.batch))) {
      const whole = await theirBatch(history, bench, batch).catch((error) => {
        if (!(error instanceof HistoryTrouble) || error.trouble !== 'unsound') throw error;
        fault ??= error;
      });
      if (whole?.state.ended !== 'open') continue;
      for (const handOver of whole.state.handOvers) {
        if (handOver.to === role && isOut(handOver))
          found.push({ name: `${names.get(bench.bench)}/${batch}`, whole, handOver });
      }
    }
  }
  if (found.length === 0 && fault) throw fault;
  return found;
}

function factIn(row: LogRow) {
  const read = readFact(row.body);
  return read.ok && read.fact.kind === 'handed-over' ? read.fact : undefined;
}

/**
 * The parts that benches of a role have begun for a hand-over, those that they gave up too.
 * @param owner the id of the bench that began the batch
 */
export async function partsFor(
  history: SharedHistory,
  owner: string,
  batch: string,
  { number, to }: Pick<HandOver, 'number' | 'to'>,
): Promise<Theirs[]> {
  const parts: Theirs[] = [];
  for (const bench of await history.benches()) {
    if (bench.role !== to) continue;
    for (const row of await history.ofKind(bench.bench, 'joined', 0)) {
      const read = readFact(row.body);
      const fact = read.ok && read.fact.kind === 'joined' ? read.fact : undefined;
      if (fact?.bench !== owner || fact.of !== batch || fact.number !== number) continue;
      const part = await theirBatch(history, bench, row.batch);
      if (part) parts.push(part);
    }
  }
  return parts;
}

/**
 * Whether a batch was begun by the same log under another id: its folder has lost its own, and what others have joined by that
 * is not found by this one.
 */
export async function isKnownOtherwise(history: SharedHistory, own: string, batch: string): Promise<boolean> {
  const firstOf = async (bench: string) => {
    const first = await history.placeOf(bench, batch);
    return first === null ? undefined : (await history.facts(bench, first - 1, 1))[0]?.hash;
  };
  const hash = await firstOf(own);
  for (const { bench } of await history.benches()) {
    if (bench !== own && hash !== undefined && (await firstOf(bench)) === hash) return true;
  }
  return false;
}

/** Those that count: not given up. */
export function liveParts(parts: readonly Theirs[]): readonly Theirs[] {
  return parts.filter(({ state }) => state.ended !== 'abandoned');
}

/**
 * What brings a part in, once it is done.
 * @returns a sentence where it can't be brought in although it is done; undefined while it is not
 */
export function bringingIn(state: BatchState, number: number, parts: readonly Theirs[]): Happened | string | undefined {
  const handOver = handOverOf(state, number);
  const live = liveParts(parts);
  const [part] = live;
  if (!handOver || !isOut(handOver) || !part) return undefined;
  if (live.length > 1) {
    const named = live.map(({ batch }) => batch).join(' and ');
    return `${part.role} has begun it twice (${named}): one of them has to be given up there.`;
  }
  if (part.state.ended !== 'finished' || part.state.partOf?.confirmed !== true) return undefined;
  if (!isPartOf(part.state.plan, state.plan, handOver.phases)) {
    return `${part.role} has weighed other amounts, or into other vessels, than were handed over: it is not brought in.`;
  }
  const { bench, role, batch, seal } = part;
  const facts = part.facts as readonly ToldFact[];
  return { kind: 'brought-in', number, bench, role, part: batch, seal, facts };
}

/** Why a part may not be weighed, by what its whole says and who else has joined; undefined when it may. */
export function whyNotJoined(
  partOf: PartOf,
  own: string,
  whole: Theirs | undefined,
  parts: readonly Theirs[],
): string | undefined {
  const name = `${partOf.role}/${partOf.of}`;
  const handOver = whole && handOverOf(whole.state, partOf.number);
  if (!handOver) return `The shared history has no batch ${name} any more that hands it over.`;
  if (whole.state.ended !== 'open') return `Batch ${name} has ended.`;
  const which = `Phase ${handOver.phases.join(' and ')} of ${name}`;
  if (handOver.stands === 'calling') return `${which} is wanted back by ${partOf.role}.`;
  if (handOver.stands === 'back') return `${which} was taken back by ${partOf.role}.`;
  if (handOver.stands === 'in') return `${which} is weighed and brought in already.`;
  const other = liveParts(parts).find((part) => part.bench !== own);
  return other && `${which} is weighed by another bench of the role ${other.role} already (its batch ${other.batch}).`;
}
