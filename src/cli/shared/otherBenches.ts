/** What other benches weigh of the batch at hand, watched beside the weighing: a line each, and the moment that a part is done. */
import type { BatchState, HandOver } from '../../facts/batchState.ts';
import { cleanText } from '../../facts/cleanText.ts';
import { handOverOf, isElsewhere, isOut } from '../../facts/handOver.ts';
import type { BroughtIn } from '../../facts/handOverFacts.ts';
import { decimalsOf, printMass } from '../../mass/text.ts';
import type { PlannedDraw } from '../../plan/model.ts';
import { HistoryTrouble } from '../../records/shared/historyTrouble.ts';
import { bringingIn, liveParts, partsFor, type Theirs, theirBatch } from '../../records/shared/parts.ts';
import type { SharedHistory } from '../../records/shared/sharedHistory.ts';
import type { Others } from '../../screen/fill/elsewhereWords.ts';
import type { Clock } from '../../signal/clock.ts';
import type { Station } from '../../weighing/station.ts';

/** How often the history is asked, milliseconds. */
const ASK_MS = 2_000;

export interface OtherBenchesOptions {
  /** This bench's id. */
  readonly bench: () => string;
  /** The batch as it stands. */
  readonly batch: () => BatchState;
  readonly clock: Clock;
  /** Another bench is done; told again and again until it is brought in. */
  readonly onDone: (broughtIn: BroughtIn) => void;
  /** What is weighed here does not get into its batch any more; told again and again. */
  readonly onGone?: () => void;
  readonly onLines: (lines: readonly string[]) => void;
}

export interface OtherBenches {
  /** For the sender's connection. @throws HistoryTrouble `away` */
  look(history: SharedHistory): Promise<void>;
  lines(): readonly string[];
  /** The lines, and what follows from them. */
  others(): Others;
}

export function watchOtherBenches({ bench, batch, clock, onDone, onGone, onLines }: OtherBenchesOptions): OtherBenches {
  let lines: readonly string[] = [];
  let asked = Number.NEGATIVE_INFINITY;
  let known = '';
  let done: readonly BroughtIn[] = [];
  let gone: Others['gone'];
  let stuck: readonly HandOver[] = [];

  const tell = (now: readonly string[]): void => {
    const clean = now.map(cleanText);
    if (JSON.stringify(clean) === JSON.stringify(lines)) return;
    lines = clean;
    onLines(lines);
  };

  async function read(history: SharedHistory, state: BatchState): Promise<void> {
    if (state.partOf) {
      const { bench: owner, role, of } = state.partOf;
      const whole = await theirBatch(history, { bench: owner, role }, of);
      gone = whyGone(state, whole);
      tell(wholeLines(state, whole));
      return;
    }
    const now: string[] = [];
    const ready: BroughtIn[] = [];
    const unweighed: HandOver[] = [];
    for (const handOver of state.handOvers.filter(isOut)) {
      const parts = await partsFor(history, bench(), state.batch, handOver);
      const bringing = bringingIn(state, handOver.number, parts);
      if (typeof bringing === 'object' && bringing.kind === 'brought-in') ready.push(bringing);
      if (whyStuck(handOver, parts) !== undefined) unweighed.push(handOver);
      now.push(typeof bringing === 'string' ? bringing : partLine(handOver, parts));
    }
    done = ready;
    stuck = unweighed;
    tell(now);
  }

  return {
    lines: () => lines,
    others: () => ({ lines, gone, stuck }),
    async look(history) {
      const state = batch();
      const concerned = state.partOf !== null || state.handOvers.some(isOut);
      if (!concerned || state.ended !== 'open') return tell([]);
      if (clock.now() - asked < ASK_MS) return;
      asked = clock.now();
      try {
        const heads = (await history.benches()).map((each) => [each.bench, each.facts]);
        const key = JSON.stringify([heads, state.handOvers.map(({ stands }) => stands)]);
        if (key !== known) await read(history, state);
        known = key;
      } catch (error) {
        if (!(error instanceof HistoryTrouble) || error.trouble === 'away') throw error;
        known = '';
        tell([error.message]); // what is not sound of another bench keeps nothing of this one from being sent
      }
      for (const each of done) onDone(each);
      if (gone !== undefined) onGone?.();
    },
  };
}

/** The same for a run at the bench: hand it the station once that runs. */
export function watchBeside(bench: () => string, batch: BatchState, clock: Clock) {
  let station: Station | undefined;
  let isStopped = false;
  let told: (lines: readonly string[]) => void = () => {};
  const watched = watchOtherBenches({
    bench,
    batch: () => station?.snapshot().context.batch ?? batch,
    clock,
    onDone: (broughtIn) => station?.partDone(broughtIn),
    onGone() {
      if (station && !isStopped) isStopped = stopped(station);
    },
    onLines: (lines) => told(lines),
  });
  return {
    ...watched,
    at(running: Station) {
      station = running;
      return () => {
        station = undefined;
      };
    },
    tell(how: typeof told) {
      told = how;
    },
  };
}

/** Stops as the maker would, once: nothing more is poured before it is read why. @returns whether it stands still now */
function stopped(station: Station): boolean {
  const now = station.snapshot();
  const isAsked = now.matches('paused') || now.matches('abandoning');
  // What is being written, or asked twice, is let be: it is told again in a moment.
  if (!isAsked && !now.matches('givingUp') && now.can({ type: 'answer.stop' })) station.answer({ type: 'answer.stop' });
  return isAsked || station.snapshot().matches('paused');
}

/** `dye_room, phase C: 2 of 4 weighed, last Corn starch 92.8 g.` */
function partLine(handOver: HandOver, parts: readonly Theirs[]): string {
  const { phases, to } = handOver;
  const name = `${to}, phase ${phases.join(' and ')}`;
  const [part] = liveParts(parts);
  if (part) return `${name}: ${progress(part)}.`;
  const how = whyStuck(handOver, parts);
  return `${name}: ${how === undefined ? 'not begun yet' : `${how}. Leave with q; bismar hand-over ${phases.join(' ')} --back`}.`;
}

/** Why it would be waited for in vain; undefined where it would not. Who is wanted back can't be joined any more. */
function whyStuck({ stands }: HandOver, parts: readonly Theirs[]): string | undefined {
  if (liveParts(parts).length > 0) return undefined;
  if (parts.length > 0) return 'given up there';
  return stands === 'calling' ? 'wanted back, and not begun there' : undefined;
}

function whyGone({ partOf }: BatchState, whole: Theirs | undefined): Others['gone'] {
  const stands = partOf && whole && handOverOf(whole.state, partOf.number)?.stands;
  if (whole && whole.state.ended !== 'open' && stands !== 'in') return 'ended';
  return stands === 'back' ? 'taken-back' : undefined;
}

function wholeLines(state: BatchState, whole: Theirs | undefined): string[] {
  const { partOf } = state;
  if (!partOf || !whole) return [];
  const name = `${partOf.role}/${partOf.of}`;
  const gone = whyGone(state, whole);
  if (gone === 'ended') return [`${name} has ended: what is weighed here does not get into it.`];
  if (gone === 'taken-back')
    return [`${partOf.role} has taken this back: what is weighed here does not get into ${name}.`];
  return [`${name}: ${progress(whole)}.`];
}

function progress({ state }: Theirs): string {
  const { plan, draws, lastAccepted } = state;
  const all = plan.tasks.filter((task) => task.kind === 'draw' && !isElsewhere(state, task)) as PlannedDraw[];
  const done = all.filter(({ id }) => draws[id]?.net != null).length;
  const last = all.find(({ id }) => id === lastAccepted?.draw);
  const d = last && plan.scales[last.scale]?.d;
  const decimals = d === undefined ? 3 : decimalsOf(d);
  const told =
    last && lastAccepted !== null ? `, last ${last.name} ${printMass(lastAccepted.net, { decimals })} g` : '';
  return `${done} of ${all.length} weighed${told}`;
}
