/**
 * A maker at the bench: looks at the screen (and at what is in the log), and moves the simulated hand. Knows nothing
 * of the world but what the program says.
 */
import type { BatchState } from '../../src/facts/batchState.ts';
import { nextTask, type Wanted, wanted } from '../../src/facts/wanted.ts';
import { type Mass, mass, minus, plus, size, ZERO } from '../../src/mass/mass.ts';
import type { PlannedDraw, PlannedStep } from '../../src/plan/model.ts';
import { contentOf, type Holder, moveLot } from '../../src/simulate/holder.ts';
import type { Bench } from './bench.ts';
import type { Glance } from './glance.ts';
import type { Ledger } from './ledger.ts';
import { StepHands } from './stepHands.ts';
import { until } from './until.ts';

/** How the maker sees the program and answers it. */
export interface Program {
  look(): Promise<Glance | undefined>;
  press(key: string): void;
  /** For failures. */
  seen(): string | Promise<string>;
}

export interface Moment {
  readonly state: BatchState;
  readonly draw: PlannedDraw | undefined;
  readonly step: PlannedStep | undefined;
  readonly glance: Glance;
}

/** Pours take about so long, seconds. */
const POUR_SECONDS = 0.15;
/** What stays in a tipped cup, and in a vessel that is emptied into another (common practice, no source). */
const STAYS_IN_CUP = 0.004;
const STAYS_IN_VESSEL = 0.01;
const STAYS_AFTER_RINSE = 0.2;

export class Maker {
  /** Too much that the hand takes by mistake, once each, by ingredient. */
  readonly slips = new Map<string, Mass>();
  /** What the screen said while too much was on the pan, by ingredient. */
  readonly holds = new Map<string, string>();
  /** Every key that she has pressed. */
  readonly keys: string[] = [];
  /** Steps are told by what stands on the pans, never by a key. */
  touchesNoKey = false;
  /** Draws that were begun while the last one was still told as saved. */
  readonly #brisk = new Set<string>();
  readonly #bench: Bench;
  readonly #ledger: Ledger;
  readonly #stepHands: StepHands;
  #turnedTo: Program | undefined;

  constructor(bench: Bench, ledger: Ledger) {
    this.#bench = bench;
    this.#ledger = ledger;
    this.#stepHands = new StepHands(bench);
  }

  get #program(): Program {
    if (!this.#turnedTo) throw new Error('the maker looks at no program');
    return this.#turnedTo;
  }

  /** Turns to a program at the bench, also after another one has gone. */
  turnTo(program: Program): void {
    this.#turnedTo = program;
  }

  /** Works until the moment is the wanted one; it is looked for before each move. @returns that moment */
  async work(isIt: (moment: Moment) => boolean): Promise<Moment> {
    for (;;) {
      const moment = await this.moment();
      if (isIt(moment)) return moment;
      await this.#do(moment);
    }
  }

  /** What is to be done now, once screen and log agree on it. */
  moment(): Promise<Moment> {
    return this.#until('moment at which screen and log agree', async () => {
      const state = this.#state();
      const glance = await this.#program.look();
      if (!state || !glance) return undefined;
      const task = nextTask(state);
      const draw = task?.kind === 'draw' ? task : undefined;
      const draws = state.plan.tasks.filter((each) => each.kind === 'draw');
      const number = draw ? draws.indexOf(draw) + 1 : null;
      if (glance.draw !== undefined && glance.draw !== number) return undefined;
      return { state, glance, draw, step: task?.kind === 'step' ? task : undefined };
    });
  }

  async #do(moment: Moment): Promise<void> {
    const { draw, step, glance } = moment;
    if (glance.headline === 'GATHER') return this.answer('enter', glance);
    if (step && this.touchesNoKey) return this.#stepHands.work(moment.state, step, glance.headline);
    if (step) return this.#doStep(step, glance);
    if (!draw && glance.headline === 'LIFT') this.#liftAll(moment.state);
    if (!draw) return this.#change(moment);
    const drawn = moment.state.draws[draw.id];
    switch (glance.headline) {
      case 'ADD':
      case 'INTO CUP':
      case 'TAKE OUT':
        if (drawn?.base === null || drawn?.status !== 'open' || !glance.atRest || glance.net === undefined) break;
        if (this.#isStained(draw)) return this.#place(moment, draw);
        return this.#pourMissing(moment, draw, glance.net);
      case 'TIP':
        return this.#tip(moment, draw);
      case 'SAVED':
        // A brisk maker goes on before she is told to; the words must then follow at once.
        if (drawn?.status === 'weighed') return this.#tip(moment, draw);
        if (draw.way !== 'add' || drawn?.base == null || this.#brisk.has(draw.id)) break;
        this.#brisk.add(draw.id);
        return this.#pourMissing(moment, draw, ZERO);
      case 'STOP':
        if (!/too much/i.test(glance.say) || !glance.atRest || glance.net === undefined) break;
        return this.#takeBack(moment, draw, glance.net);
      case 'PUT ON':
      case 'PUT BACK':
      case 'CHANGE':
      case 'LIFT':
      case 'WAIT':
        return this.#place(moment, draw);
    }
    await this.#change(moment);
  }

  /** The last look at the empty pans. */
  #liftAll({ plan }: BatchState): void {
    const { world, hand } = this.#bench;
    for (const id of Object.keys(plan.scales)) for (const each of [...world.pan(id).standing]) hand.lift(each);
  }

  /** Presses a key and waits until it has had its effect. */
  async answer(key: string, before: Glance): Promise<void> {
    this.keys.push(key);
    this.#program.press(key);
    await this.#until(`answer to ${key}`, async () => {
      const glance = await this.#program.look();
      return glance !== undefined && (glance.headline !== before.headline || glance.say !== before.say);
    });
  }

  /** Lifts everything off the draw's pan, lets the program see it empty, and puts the draw's vessel on. */
  async #place(moment: Moment, draw: PlannedDraw): Promise<void> {
    const { world, hand } = this.#bench;
    const pan = world.pan(draw.scale);
    const vessel = world.vessel(draw.on);
    const isThere = pan.standing.has(vessel) && pan.standing.size === 1;
    const isStained = this.#isStained(draw);
    const { headline, say } = moment.glance;
    // A scale that speaks only on change says nothing of what stood there before: something must move.
    const isMute = headline === 'WAIT' && /touch its pan/.test(say) && moment.glance.gross === undefined;
    if (headline === 'WAIT' && !isMute) return this.#change(moment);
    if (isThere && !isStained && headline.startsWith('PUT')) return this.#change(moment);
    for (const standing of [...pan.standing]) hand.lift(standing);
    if (isStained) hand.tip(vessel, world.bin);
    // After a gap in its readings a scale's own 0.0 is not believed; the known vessel, put back, proves it.
    const isUnproved = headline === 'LIFT' && moment.glance.gross === undefined;
    if (isUnproved) await this.#emptyPan(draw).catch(() => undefined);
    else if (!isMute || isThere) await this.#emptyPan(draw);
    await this.putOn(draw);
  }

  /** Something of an earlier draw still clings to the cup. */
  #isStained(draw: PlannedDraw): boolean {
    if (draw.way !== 'cup') return false;
    const { contents } = this.#bench.world.vessel(draw.on);
    return contents.size > 0 && !contents.has(draw.lot);
  }

  /** Puts the draw's vessel on its pan and waits until the program has taken note. */
  async putOn(draw: PlannedDraw): Promise<void> {
    const before = await this.#program.look();
    this.#bench.hand.put(this.#bench.world.vessel(draw.on), this.#bench.world.pan(draw.scale));
    await this.#until(
      `word on ${draw.on} on the ${draw.scale} scale`,
      async () => (await this.#program.look())?.headline !== before?.headline,
    );
  }

  async #emptyPan(draw: PlannedDraw): Promise<void> {
    await this.#until(`sight of the empty ${draw.scale} pan`, async () => {
      const glance = await this.#program.look();
      const d = this.#state()?.plan.scales[draw.scale]?.d ?? 0;
      return glance?.atRest && glance.gross !== undefined && size(glance.gross) <= 10 * d;
    });
  }

  async #pourMissing(moment: Moment, draw: PlannedDraw, net: Mass): Promise<void> {
    const slip = this.slips.get(draw.ingredient);
    this.slips.delete(draw.ingredient);
    const missing = minus(this.#wanted(moment, draw).target, net);
    if (slip === undefined && this.isUsedUp(draw)) return this.answer('l', moment.glance);
    const d = moment.state.plan.scales[draw.scale]?.d ?? 0;
    if (missing > d || slip !== undefined) await this.pour(draw, plus(missing, slip ?? ZERO));
    await this.#change(moment);
  }

  /** Pours (or spoons) an amount of the draw's lot and waits until it has stopped running. */
  async pour(draw: PlannedDraw, amount: Mass, gramsPerSecond?: number): Promise<void> {
    const { hand } = this.#bench;
    const { from, to } = this.route(draw);
    const rate = gramsPerSecond ?? Math.max(amount / 1e6 / POUR_SECONDS, 0.1);
    const pour = hand.pour({ from, to, upTo: amount, gramsPerSecond: rate });
    await this.#until(`end of the pour of ${draw.name}`, () => pour.done);
  }

  isUsedUp(draw: PlannedDraw): boolean {
    return draw.way !== 'subtract' && contentOf(this.#bench.world.lot(draw.lot)) === 0;
  }

  /** Where the hand takes a draw from, and where it puts it. */
  route(draw: PlannedDraw): { readonly from: Holder; readonly to: Holder } {
    const { world } = this.#bench;
    if (draw.way === 'subtract') return { from: world.vessel(draw.on), to: world.spoon };
    return { from: world.lot(draw.lot), to: world.vessel(draw.on) };
  }

  async #takeBack(moment: Moment, draw: PlannedDraw, net: Mass): Promise<void> {
    const { world, hand } = this.#bench;
    this.holds.set(draw.ingredient, moment.glance.text);
    const surplus = minus(net, this.#wanted(moment, draw).target);
    if (draw.way === 'subtract') hand.move(world.spoon, world.vessel(draw.on), surplus);
    else moveLot(world.vessel(draw.on), world.bin, draw.lot, surplus);
    await this.#change(moment);
  }

  async #tip(moment: Moment, draw: PlannedDraw): Promise<void> {
    const { world, hand } = this.#bench;
    const cup = world.vessel(draw.on);
    if (moment.state.draws[draw.id]?.status !== 'weighed' || !world.panUnder(cup)) return this.#change(moment);
    hand.lift(cup);
    await this.#emptyPan(draw);
    hand.tip(cup, world.vessel(draw.vessel), mass(Math.round(contentOf(cup) * STAYS_IN_CUP)));
    await this.putOn(draw);
  }

  async #doStep(step: PlannedStep, glance: Glance): Promise<void> {
    const { world, hand } = this.#bench;
    if (step.vessel !== null && step.into !== null) {
      const from = world.vessel(step.vessel);
      const stays = step.step === 'rinse' ? STAYS_AFTER_RINSE : STAYS_IN_VESSEL;
      hand.lift(from);
      hand.tip(from, world.vessel(step.into), mass(Math.round(contentOf(from) * stays)));
    }
    await this.answer('enter', glance);
  }

  /** Empties the spoon into the draw's vessel once its weight is in the log. */
  #rinseSpoon(state: BatchState): void {
    const { world, hand } = this.#bench;
    const [lot] = world.spoon.contents.keys();
    const draw = state.plan.tasks.find((task): task is PlannedDraw => task.kind === 'draw' && task.lot === lot);
    if (draw && state.draws[draw.id]?.status === 'done') hand.tip(world.spoon, world.vessel(draw.vessel));
  }

  #state(): BatchState | undefined {
    const state = this.#bench.state();
    // After it, so that the ledger knows of every fact that the hand is about to act on.
    this.#ledger.note(this.#bench.facts());
    if (state) this.#rinseSpoon(state);
    return state;
  }

  #wanted({ state }: Moment, draw: PlannedDraw): Wanted {
    return wanted(state, draw);
  }

  /** Waits until the log or the screen says something else than at that moment. */
  async #change({ state, glance }: Moment): Promise<void> {
    await this.#until('change on the screen', async () => {
      if (this.#state()?.seq !== state.seq) return true;
      const now = await this.#program.look();
      return now !== undefined && now.text !== glance.text;
    });
  }

  #until<T>(what: string, look: () => T | undefined | false | Promise<T | undefined | false>): Promise<T> {
    return until(what, look, { seen: () => this.#program.seen() });
  }
}
