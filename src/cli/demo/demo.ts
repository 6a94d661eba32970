/** `bismar demo`: the made-up workshop on simulated scales, weighed by keys or by itself. */
import { cpSync, existsSync, mkdirSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { stateOf } from '../../facts/apply.ts';
import type { Fact } from '../../facts/fact.ts';
import { readMass } from '../../mass/text.ts';
import type { Plan } from '../../plan/model.ts';
import { openLog } from '../../records/batchLog.ts';
import { scalesStand } from '../../records/lastChecks.ts';
import { takeWritingRight } from '../../records/oneWriter.ts';
import { safeJson } from '../../records/safeJson.ts';
import { stamp } from '../../records/stamp.ts';
import { keepStock } from '../../records/stockKeeper.ts';
import type { Clock } from '../../signal/clock.ts';
import { seededRandom } from '../../simulate/seededRandom.ts';
import type { Station } from '../../weighing/station.ts';
import { shiftDates } from '../../workshop/shiftDates.ts';
import { Ending, EXIT, type ExitCode } from '../exit.ts';
import { isWorkshop, LOG_FILE, loadProfile, loadWorkshop, shipped, WORKSHOP_FILE } from '../folder.ts';
import { planFor } from '../planning.ts';
import { writeRecordPage } from '../records/recordPage.ts';
import { stockedNow } from '../stock/stockNow.ts';
import { factLine } from '../weigh/factLine.ts';
import { hint } from '../weigh/hint.ts';
import { openLineFront } from '../weigh/lineFront.ts';
import { rescueFinder } from '../weigh/rescuing.ts';
import { guardTerminal } from '../weigh/terminal.ts';
import { runWorkbench, SAVED_MS, type ShowAs } from '../weigh/workbench.ts';
import { weighOffBars } from './demoBars.ts';
import { createHandKeys, type HandKeys } from './handKeys.ts';
import { handWords } from './handWords.ts';
import { createMadeUpBench, type MadeUpBench } from './madeUpBench.ts';
import { madeUpReading } from './madeUpReading.ts';
import { work } from './maker.ts';
import { demoMishaps } from './mishaps.ts';
import { createPacedClock } from './pacedClock.ts';

/** The day that the shipped demo workshop's dates are written for. */
const BATCH_DAY = '2026-11-25';
/** Simulated seconds per real second of the hands-off demo. */
const HANDS_OFF_SPEED = 40;
/** The bag of SA-88 holds less than the book says. */
const SHORT_BAG = { lot: 'SA-88', holds: '509.6' };

export interface DemoOptions {
  readonly handsOff: boolean;
  readonly showAs: ShowAs;
  readonly folder?: string | undefined;
  /** Simulated seconds per real second; default 40. */
  readonly speed?: number | undefined;
  readonly seed?: number | undefined;
}

/** Makes the demo's workshop folder, its dates moved to today. A workshop that is there already is kept. */
export function makeDemoFolder(folder: string | undefined, today: string): string {
  const target = folder ?? mkdtempSync(join(tmpdir(), 'bismar-demo-'));
  if (isWorkshop(target)) return target;
  mkdirSync(target, { recursive: true });
  cpSync(join(shipped('fixtures/demo'), 'formulas'), join(target, 'formulas'), { recursive: true });
  const days = Math.round((Date.parse(today) - Date.parse(BATCH_DAY)) / 86_400_000);
  const text = readFileSync(join(shipped('fixtures/demo'), WORKSHOP_FILE), 'utf8');
  writeFileSync(join(target, WORKSHOP_FILE), shiftDates(text, days));
  return target;
}

export async function demo({ handsOff, showAs, folder: wanted, speed, seed = 7 }: DemoOptions): Promise<ExitCode> {
  const today = stamp(new Date()).slice(0, 10);
  const folder = makeDemoFolder(wanted, today);
  let keep = wanted !== undefined;
  // However it ends: a demo that was not weighed to its end leaves nothing behind, unless it broke.
  process.once('exit', () => {
    if (!keep) removeFolder(folder);
  });
  if (!existsSync(join(folder, WORKSHOP_FILE))) throw new Ending(EXIT.failed, 'The demo folder could not be made.');
  const workshop = loadWorkshop(folder);
  const { plan, formula } = planFor(folder, workshop, undefined, {});
  const right = takeWritingRight(folder);
  const paced = handsOff ? createPacedClock() : undefined;
  const clock: Clock = paced ?? (await import('../../link/clock.ts')).realClock;
  const startedAt = Date.now() - clock.now();
  const log = openLog(join(folder, LOG_FILE), { now: () => new Date(startedAt + clock.now()) });
  try {
    const profiles = new Map(
      await Promise.all(
        [...new Set([...workshop.scales.values()].flatMap(({ profile }) => profile ?? []))].map(
          async (id) => [id, await loadProfile(folder, id)] as const,
        ),
      ),
    );
    const holds = readMass(SHORT_BAG.holds, 'g');
    // A second batch in the same folder finds the jars as the first left them.
    const now = stockedNow(folder, workshop);
    const isFull = [...now.ingredients.values()].some(({ lots }) =>
      lots.some(({ id, onHand }) => id === SHORT_BAG.lot && holds !== undefined && onHand > holds),
    );
    const trueStock = new Map(holds === undefined || !isFull ? [] : [[SHORT_BAG.lot, holds]]);
    const bench = createMadeUpBench({ workshop: now, profiles, clock, seed, trueStock });
    const by = workshop.operators[0] ?? 'demo';
    const batchId = log.newBatchId(today);
    const begun = await log.append(batchId, by, [{ kind: 'batch-started', plan }, scalesStand(log, plan.scales)]);
    await bench.start();

    const lines = linePrinters(showAs);
    const { print, aside } = lines;
    if (showAs !== 'screen') {
      aside(`A made-up workshop on simulated scales; nothing here is real. Folder: ${folder}`);
    }
    let happening = '';
    let over = false;
    let atBench: Station | undefined;
    const seenNow = () =>
      atBench?.snapshot().context.batch.ended === 'finished' ? 'Enter: and now the bars are weighed off.' : happening;
    const handKeys = createHandKeys(bench, clock);
    const random = seededRandom(seed);
    const noteReading = async (step: string, now: Plan) => {
      const reading = madeUpReading(step, now, random);
      if (!reading) return;
      const facts = await log.append(batchId, by, [reading]);
      if (showAs === 'screen') return;
      for (const fact of facts) print(showAs === 'json' ? safeJson(fact) : `  ${factLine(fact, now)}`);
    };
    const guard = guardTerminal(showAs === 'screen');
    const run = runWorkbench({
      batch: stateOf(begun),
      scales: bench.scales,
      log: keepStock(log, workshop),
      by,
      clock,
      findRescue: rescueFinder({ workshop, formula, log }),
      savedMs: showAs === 'screen' ? SAVED_MS : 0,
      foot: () => (handsOff ? seenNow() : atBench ? handWords(atBench.snapshot()) : ''),
      openFront: async (input) => {
        guard.onSignal(input.leave);
        return showAs === 'screen'
          ? (await import('../weigh/screenFront.ts')).openScreenFront(input)
          : openLineFront(input, {
              json: showAs === 'json',
              input: handsOff ? undefined : process.stdin,
              print,
              aside,
              onUnanswerable: input.leave,
            });
      },
      otherKey: (input) => {
        if (!handsOff && atBench && 'key' in input) handKeys.press(input.key, atBench);
      },
      onFacts: (facts) => {
        // After a scale-up the plan is another one.
        const now = atBench?.snapshot().context.batch.plan ?? plan;
        for (const fact of facts) {
          follow(fact, now, bench, handKeys);
          if (!handsOff || fact.kind !== 'step-done') continue;
          noteReading(fact.step, now).catch((error: unknown) => aside(`The demo's maker stumbled: ${String(error)}`));
        }
      },
      alongside: (station) => {
        atBench = station;
        if (!handsOff) return () => {};
        const mishaps = demoMishaps((what) => {
          happening = what;
          if (showAs !== 'screen') aside(`  (${what})`);
        });
        const working = work({ station, bench, clock, mishaps, isOver: () => over });
        working.catch((error: unknown) => aside(`The demo's maker stumbled: ${String(error)}`));
        return () => {
          over = true;
        };
      },
    });
    const { ended } = await (paced ? paced.run(run, speed ?? HANDS_OFF_SPEED) : run).finally(() => guard.release());
    if (ended === 'finished' && paced) {
      const bars = { bench, log, workshop, batch: batchId, by, clock, folder, showAs, seed, onStumble: aside };
      // One bar is like the next: an onlooker has seen it soon.
      await paced.run(weighOffBars(bars), 2 * (speed ?? HANDS_OFF_SPEED));
    }
    await bench.stop();
    if (ended === 'open') {
      aside(`The batch ${batchId} was left unfinished; the scales and what stood on them were made up and are gone.`);
      if (keep) aside(`Its facts are in ${folder}: ${hint('log', folder)}`);
      else aside('Its folder is gone with them; --folder DIR keeps one.');
      return EXIT.done;
    }
    const page = await writeRecordPage(folder, log, batchId);
    if (!keep) aside(`The made-up workshop stays in ${folder} for you to look at; delete it when you like.`);
    keep = true;
    aside(`${ended === 'finished' ? 'Done' : 'Ended'}. Record of batch ${batchId}: ${page}`);
    return EXIT.done;
  } catch (error) {
    keep = true; // its log may show what broke
    throw error;
  } finally {
    log.close();
    right.release();
  }
}

function removeFolder(folder: string): void {
  try {
    rmSync(folder, { recursive: true, force: true });
  } catch {
    // Some systems remove no open file; it lies in the folder for temporary files, which they empty themselves.
  }
}

/** The made-up world follows what is written down: the spoon is emptied, vessels are tipped out. */
export function follow(fact: Fact, plan: Plan, bench: MadeUpBench, handKeys: HandKeys): void {
  if (fact.kind === 'weighed' && fact.way === 'subtract') {
    bench.hand.tip(bench.world.spoon, bench.world.vessel(fact.vessel));
  }
  if (fact.kind !== 'step-done' || fact.weighedBack) return; // weighed back: the hand has emptied it already
  const step = plan.tasks.find((task) => task.id === fact.step);
  if (step?.kind === 'step') handKeys.stepDone(step);
}

function linePrinters(showAs: ShowAs): { print: (line: string) => void; aside: (line: string) => void } {
  const print = (line: string) => void process.stdout.write(`${line}\n`);
  const aside = showAs === 'json' ? (line: string) => void process.stderr.write(`${line}\n`) : print;
  return { print, aside };
}
