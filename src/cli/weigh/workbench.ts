/**
 * One run at the bench: a station with its scales, shown on the screen, as plain lines, or as JSON, until the batch
 * is done or the maker leaves.
 */
import type { BatchState } from '../../facts/batchState.ts';
import type { Fact, FactLog } from '../../facts/fact.ts';
import type { Rescue } from '../../rescue/model.ts';
import type { Controls } from '../../screen/fill/controls.ts';
import { createControls } from '../../screen/fill/controls.ts';
import type { Others } from '../../screen/fill/elsewhereWords.ts';
import type { Pressed } from '../../screen/view.ts';
import type { Clock } from '../../signal/clock.ts';
import type { RescueAsked } from '../../weighing/findRescue.ts';
import type { Learnt } from '../../weighing/pourWatch.ts';
import { createStation, type Station, type StationScale } from '../../weighing/station.ts';
import { Ending, EXIT, type ExitCode } from '../exit.ts';
import { createLabelDesk, type LabelDesk } from '../stock/labelDesk.ts';

/** How long an accepted weight is told on the screen: time for one look. */
export const SAVED_MS = 1200;

export type ShowAs = 'screen' | 'plain' | 'json';

/** How a run is shown and how it hears the maker. */
export interface Front {
  /** The chart or what the controls show has changed. */
  changed(): void;
  /** The numbers of a scale have changed. */
  live(scale: string): void;
  facts(facts: readonly Fact[]): void;
  /** Tells a sentence that is not about the chart. */
  told?(say: string): void;
  close(): Promise<void>;
}

export interface FrontInput {
  readonly station: Station;
  readonly controls: Controls;
  /** Labels of jars, scanned or typed. */
  readonly labels: LabelDesk;
  /** A key that no open answer took. */
  readonly otherKey: (input: Pressed) => void;
  readonly leave: () => void;
  /** Leaves because it can't go on, and says so. */
  readonly giveUp: (why: Ending) => void;
}

export interface WorkbenchOptions {
  readonly batch: BatchState;
  readonly scales: readonly StationScale[];
  readonly log: FactLog;
  readonly by: string;
  readonly clock: Clock;
  /** What earlier pours left in the log. */
  readonly learnt?: Learnt;
  /** Why a lot may not be used; null when it may. */
  readonly blockedFor?: (ingredient: string, lot: string) => string | null;
  /** Works out how a batch can grow out of a hold. */
  readonly findRescue?: (asked: RescueAsked) => Promise<Rescue>;
  readonly openFront: (input: FrontInput) => Front | Promise<Front>;
  /** Called once the station runs; what it returns is called at the end. */
  readonly alongside?: (station: Station, leave: () => void) => () => void | Promise<void>;
  /** Facts as they are written. */
  readonly onFacts?: (facts: readonly Fact[]) => void;
  readonly otherKey?: (input: Pressed) => void;
  /** How long an accepted weight is told on the screen, milliseconds. */
  readonly savedMs?: number;
  /** Said while everything is looked out, before the batch. */
  readonly notes?: readonly string[];
  /** How other benches stand with this batch. */
  readonly others?: () => Others;
  readonly foot?: () => string;
}

/** Runs until the batch has ended or the maker leaves. @returns how the batch stands then */
export async function runWorkbench(options: WorkbenchOptions): Promise<{ code: ExitCode; ended: BatchState['ended'] }> {
  const { clock } = options;
  let finish: () => void = () => {};
  let broken: unknown;
  let gaveUp: Ending | undefined;
  const over = new Promise<void>((resolve) => {
    finish = resolve;
  });
  let front: Front | undefined;
  const station = createStation({
    batch: options.batch,
    scales: options.scales,
    log: options.log,
    by: options.by,
    clock,
    ...(options.learnt ? { learnt: options.learnt } : {}),
    ...(options.findRescue ? { findRescue: options.findRescue } : {}),
    onFacts: (facts) => {
      front?.facts(facts);
      options.onFacts?.(facts);
    },
    onChange: (snapshot) => {
      controls.note(snapshot);
      front?.changed();
    },
    onLive: (scale) => front?.live(scale),
    onBroken: (error) => {
      broken = error;
      finish();
    },
  });
  const controls = createControls({
    station,
    clock,
    onLeave: finish,
    onView: () => front?.changed(),
    savedMs: options.savedMs,
    by: options.by,
    notes: options.notes,
    others: options.others,
    foot: options.foot,
  });

  const labels = createLabelDesk({
    station,
    log: options.log,
    by: options.by,
    blockedFor: options.blockedFor,
    onFacts: (facts) => {
      front?.facts(facts);
      options.onFacts?.(facts);
    },
    onTrouble: (say) => front?.told?.(say),
  });

  station.start();
  front = await options.openFront({
    station,
    controls,
    labels,
    otherKey: options.otherKey ?? (() => {}),
    leave: finish,
    giveUp: (why) => {
      gaveUp = why;
      finish();
    },
  });
  front.changed();
  const stopAlongside = options.alongside?.(station, finish);
  try {
    await over;
  } finally {
    await stopAlongside?.();
    await front.close();
    await station.stop();
  }
  if (broken !== undefined) {
    throw new Ending(
      EXIT.failed,
      `bismar broke (${broken instanceof Error ? broken.message : String(broken)}). All that was accepted is in the log; \`bismar resume\` goes on from there. Please report this fault.`,
    );
  }
  if (gaveUp) throw gaveUp;
  const { ended } = station.snapshot().context.batch;
  return { code: EXIT.done, ended };
}
