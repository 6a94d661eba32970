/** `bismar portion`: weighs off the bars of a batch. */
import { barsOf } from '../../facts/bars.ts';
import { cleanText } from '../../facts/cleanText.ts';
import type { Happened } from '../../facts/fact.ts';
import { realClock } from '../../link/clock.ts';
import { printMass } from '../../mass/text.ts';
import { ownScales } from '../../plan/model.ts';
import { wrapText } from '../../plan/wrapText.ts';
import { missingAtEnd } from '../../portion/running.ts';
import { beginPortion } from '../../portion/step.ts';
import type { BatchLog } from '../../records/batchLog.ts';
import { scalesStand } from '../../records/lastChecks.ts';
import { batchMeant } from '../../records/resolveBatch.ts';
import { portionLiveOf } from '../../screen/fill/portionLive.ts';
import { portionViewOf } from '../../screen/fill/portionView.ts';
import type { Clock } from '../../signal/clock.ts';
import type { StationScale } from '../../weighing/station.ts';
import type { Workshop } from '../../workshop/model.ts';
import { Ending, EXIT, type ExitCode } from '../exit.ts';
import { loadWorkshop } from '../folder.ts';
import { contentsOf, judgementText } from '../records/contents.ts';
import { recordOf, writeRecordPage } from '../records/recordPage.ts';
import { startSharing } from '../shared/sharing.ts';
import { hint } from '../weigh/hint.ts';
import { openScales } from '../weigh/scales.ts';
import { guardTerminal } from '../weigh/terminal.ts';
import { SAVED_MS, type ShowAs } from '../weigh/workbench.ts';
import { operator, withLog } from '../withLog.ts';
import { weighAgain } from './portionAgain.ts';
import { createPortionBench, type PortionBench } from './portionBench.ts';
import { createPortionControls } from './portionControls.ts';
import { openPortionLines, openPortionScreen, type PortionFront } from './portionFront.ts';
import { mustBeMixed, mustBeWhole, mustGoOn } from './portionGate.ts';
import { type AimOptions, type PortionSetup, setUpPortion } from './portionSetup.ts';

export interface PortionOptions extends AimOptions {
  readonly showAs: ShowAs;
  readonly by?: string | undefined;
  readonly again?: boolean | undefined;
  /** More bars of a portioning that was ended. */
  readonly more?: boolean | undefined;
}

export async function portion(wanted: string | undefined, options: PortionOptions): Promise<ExitCode> {
  const workshop = loadWorkshop(options.in);
  return withLog(options.in, async (log) => {
    const found = batchMeant(log, wanted);
    if (!found.ok) throw new Ending(EXIT.failed, found.say);
    const { id } = found.batch;
    mustBeMixed(found.batch, options.in);
    const by = operator(workshop, options.by);
    if (options.again) return weighAgain({ log, workshop, batch: id, by, options });
    const record = recordOf(log, id);
    mustBeWhole(record, 'Its bars are weighed off there, with the batch');
    if (!options.more) mustGoOn(id, record.bars, options.in);
    const setup = setUpPortion(log, record, workshop, options);
    if (setup.scale.port === undefined) {
      throw new Ending(
        EXIT.wrongUse,
        `Bars are counted by lifting them off, so the scale must be connected; what the ${setup.scale.id} scale shows is typed. Nothing was recorded.`,
      );
    }
    const [seat] = await openScales(options.in, workshop, [setup.scale.id], realClock);
    if (!seat) throw new Ending(EXIT.noScale, `The ${setup.scale.id} scale could not be opened.`);
    const { sharedHistory } = workshop;
    const sharing = sharedHistory && startSharing(sharedHistory, { folder: options.in, log, clock: realClock });
    try {
      const at = { log, workshop, batch: id, by, seat, setup, options, clock: realClock };
      return await atPan(sharing ? { ...at, foot: sharing.line } : at);
    } finally {
      const unsent = await sharing?.stop();
      if (unsent !== undefined) process.stderr.write(`${unsent}\n`);
    }
  });
}

export interface AtPan {
  readonly log: BatchLog;
  readonly workshop: Workshop;
  readonly batch: string;
  readonly by: string;
  readonly seat: StationScale;
  readonly setup: PortionSetup;
  readonly options: PortionOptions;
  readonly clock: Clock;
  /** Called once the bench runs; what it returns is called at the end. */
  readonly alongside?: (bench: PortionBench) => () => void;
  readonly foot?: () => string;
}

/** Runs until the bars are done or the maker leaves. */
export async function atPan(at: AtPan): Promise<ExitCode> {
  const { log, batch, by, seat, setup, options, clock } = at;
  const { aim, scale, mix, barScale, advice, short } = setup;
  const { showAs } = options;
  const { plan } = recordOf(log, batch);
  const print = (line: string) => void process.stdout.write(`${line}\n`);
  const aside = showAs === 'json' ? (line: string) => void process.stderr.write(`${line}\n`) : print;
  const { setPoint, low, high, label } = aim;
  const begin: Happened = { kind: 'portioning-started', scale: scale.id, setPoint, low, high, label, mix };
  const told = await log.append(batch, by, [scalesStand(log, { ...ownScales(plan), [scale.id]: true }), begin]);
  const facts = log.facts(batch);
  const bars = barsOf(facts);
  if (!bars) throw new Error('the bars that were just begun are not in the log');

  let finish: () => void = () => {};
  const over = new Promise<void>((resolve) => {
    finish = resolve;
  });
  let front: PortionFront | undefined;
  const bench = createPortionBench({
    scale: seat,
    portion: beginPortion(barScale, aim, bars),
    batch,
    by,
    facts,
    log,
    clock,
    onFacts: (written) => {
      front?.facts(written);
      if (written.some(({ kind }) => kind === 'bar')) controls.counted();
      if (written.some(({ kind }) => kind === 'portioning-ended')) finish();
    },
    // While a fact is being written the screen stays as it was: nothing counts yet.
    onChange: () => void (isWriting() || front?.changed()),
    onLive: () => void (isWriting() || front?.live()),
  });
  const isWriting = () => bench.state().writing.length > 0 && bench.failure() === null;
  const controls = createPortionControls({
    bench,
    clock,
    savedMs: showAs === 'screen' ? SAVED_MS : 0,
    onLeave: finish,
    onView: () => front?.changed(),
  });
  const shown = {
    controls,
    view: () =>
      portionViewOf(bench.state(), {
        title: `${plan.formula.name} ${plan.formula.version}, batch ${batch}`,
        by,
        page: controls.page,
        saved: controls.saved,
        why: controls.why,
        failure: bench.failure(),
        notes: bars.bars.length === 0 && bench.state().bars.bars.length < 3 ? short : [],
        load: bench.numbers().load,
        settled: bench.numbers().settled,
        foot: at.foot?.(),
      }),
    numbers: () => portionLiveOf(bench.state(), bench.numbers()),
  };
  const guard = guardTerminal(showAs === 'screen');
  let isOut = false;
  if (showAs !== 'screen') for (const line of advice) aside(cleanText(line));
  bench.start();
  try {
    guard.onSignal(finish);
    front =
      showAs === 'screen'
        ? await openPortionScreen(shown)
        : openPortionLines(shown, {
            json: showAs === 'json',
            input: at.alongside ? undefined : process.stdin,
            plan,
            print,
            aside,
            onInputEnd: () => {
              isOut = true;
              finish();
            },
          });
    front.facts(told);
    front.changed();
    const stopAlongside = at.alongside?.(bench);
    await over;
    stopAlongside?.();
  } finally {
    await front?.close();
    await bench.stop();
    guard.release();
  }
  return ending(at, isOut, aside);
}

async function ending(at: AtPan, isOut: boolean, aside: (line: string) => void): Promise<ExitCode> {
  const { log, batch, workshop, options } = at;
  const record = recordOf(log, batch);
  const page = await writeRecordPage(options.in, log, batch);
  if (record.bars?.ended == null && at.alongside) return EXIT.done;
  if (record.bars?.ended == null) {
    const goOn = hint(`portion ${batch}`, options.in);
    aside('The bars are not ended. All that were counted are safe. Go on with:');
    aside(`  ${goOn}`);
    if (!isOut) return EXIT.done;
    throw new Ending(EXIT.failed, 'Standard input has ended before the bars were; keep it open (each line is a key).');
  }
  const missing = missingAtEnd(record.bars);
  if (missing !== null) {
    const say = `By its weighings ${printMass(missing, { decimals: 1 })} g of the mix were neither counted nor left over. Was a bar lifted off that did not count? With --more one can be added.`;
    for (const line of wrapText(say, '', width())) aside(line);
  }
  const judged = contentsOf(log, record, workshop, options);
  if (judged) aside(judgementText(judged, width()));
  if (!at.alongside) aside(`The record of batch ${batch}: ${page}`);
  return EXIT.done;
}

function width(): number {
  return Math.max(process.stdout.columns ?? 80, 60);
}
