/** What other benches weigh of the batch at hand, watched beside the weighing: a line each, and the moment that a part is done. */
import type { BatchState, HandOver } from '../facts/batchState.ts';
import { cleanText } from '../facts/cleanText.ts';
import { handOverOf, isElsewhere, isOut } from '../facts/handOver.ts';
import type { BroughtIn } from '../facts/handOverFacts.ts';
import { decimalsOf, printMass } from '../mass/text.ts';
import type { PlannedDraw } from '../plan/model.ts';
import { HistoryTrouble } from '../records/shared/historyTrouble.ts';
import { bringingIn, liveParts, partsFor, type Theirs, theirBatch } from '../records/shared/parts.ts';
import type { SharedHistory } from '../records/shared/sharedHistory.ts';
import type { Clock } from '../signal/clock.ts';
import type { Station } from '../weighing/station.ts';

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
  readonly onLines: (lines: readonly string[]) => void;
}

export interface OtherBenches {
  /** For the sender's connection. @throws HistoryTrouble `away` */
  look(history: SharedHistory): Promise<void>;
  lines(): readonly string[];
}

export function watchOtherBenches({ bench, batch, clock, onDone, onLines }: OtherBenchesOptions): OtherBenches {
  let lines: readonly string[] = [];
  let asked = Number.NEGATIVE_INFINITY;
  let known = '';
  let done: readonly BroughtIn[] = [];

  const tell = (now: readonly string[]): void => {
    const clean = now.map(cleanText);
    if (JSON.stringify(clean) === JSON.stringify(lines)) return;
    lines = clean;
    onLines(lines);
  };

  async function read(history: SharedHistory, state: BatchState): Promise<void> {
    if (state.partOf) {
      const { bench: owner, role, of } = state.partOf;
      tell(wholeLines(state, await theirBatch(history, { bench: owner, role }, of)));
      return;
    }
    const now: string[] = [];
    const ready: BroughtIn[] = [];
    for (const handOver of state.handOvers.filter(isOut)) {
      const parts = await partsFor(history, bench(), state.batch, handOver);
      const bringing = bringingIn(state, handOver.number, parts);
      if (typeof bringing === 'object' && bringing.kind === 'brought-in') ready.push(bringing);
      now.push(typeof bringing === 'string' ? bringing : partLine(handOver, parts));
    }
    done = ready;
    tell(now);
  }

  return {
    lines: () => lines,
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
    },
  };
}

/** The same for a run at the bench: hand it the station once that runs. */
export function watchBeside(bench: () => string, batch: BatchState, clock: Clock) {
  let station: Station | undefined;
  let told: (lines: readonly string[]) => void = () => {};
  const watched = watchOtherBenches({
    bench,
    batch: () => station?.snapshot().context.batch ?? batch,
    clock,
    onDone: (broughtIn) => station?.partDone(broughtIn),
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

/** `dye_room, phase C: 2 of 4 weighed, last Corn starch 92.8 g.` */
function partLine({ phases, to, stands }: HandOver, parts: readonly Theirs[]): string {
  const name = `${to}, phase ${phases.join(' and ')}`;
  const [part] = liveParts(parts);
  if (!part) {
    // Who is wanted back can't be joined any more: it would be waited for in vain.
    const how = parts.length > 0 ? 'given up there' : stands === 'calling' ? 'wanted back, and not begun there' : null;
    return `${name}: ${how === null ? 'not begun yet' : `${how}. Leave with q; bismar hand-over ${phases.join(' ')} --back`}.`;
  }
  return `${name}: ${progress(part)}.`;
}

function wholeLines({ partOf }: BatchState, whole: Theirs | undefined): string[] {
  if (!partOf || !whole) return [];
  const handOver = handOverOf(whole.state, partOf.number);
  const name = `${partOf.role}/${partOf.of}`;
  if (whole.state.ended !== 'open' && handOver?.stands !== 'in') {
    return [`${name} has ended: what is weighed here does not get into it.`];
  }
  if (handOver?.stands === 'back')
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
