/** A maker at the tiny bench: does what is asked, or anything else, and the chart hears of it as it would at a real one. */
import { createActor, SimulatedClock } from 'xstate';
import { apply, planned, stateOf } from '../../src/facts/apply.ts';
import type { Fact } from '../../src/facts/fact.ts';
import { wanted } from '../../src/facts/wanted.ts';
import { type Mass, mass, minus, ZERO } from '../../src/mass/mass.ts';
import type { Plan, PlannedDraw } from '../../src/plan/model.ts';
import { panEvent } from '../../src/weighing/events.ts';
import { baseNow, drawNow, scaleOf, standing } from '../../src/weighing/look.ts';
import { rescueNow } from '../../src/weighing/rescueNow.ts';
import { abandon, again, giveUp, keep, lotEnded, type Snapshot, seen, stateName, stop, yes } from './chartRig.ts';
import { found, type ModelEvent, machine, offers, RINGS } from './modelBench.ts';
import { checkStep } from './modelRules.ts';
import { aPlan, BATCH, sealed } from './samplePlan.ts';
import { aRescue } from './sampleRescue.ts';
import { type PanId, TinyWorld, VESSELS, type VesselId } from './tinyWorld.ts';

/** Some sensible steps, and then one thing that may happen by chance. */
export interface Whim {
  readonly sensible: number;
  readonly does: number;
  readonly which: number;
  readonly part: number;
}

const ANSWERS = [yes, yes, yes, stop, keep('by chance'), giveUp, lotEnded, again, abandon];
const PANS: readonly PanId[] = ['bench', 'fine'];

export class TinyMaker {
  readonly world = new TinyWorld();
  readonly plan: Plan = aPlan();
  readonly log: Fact[] = [...sealed([{ kind: 'batch-started', plan: this.plan }])];
  #clock = new SimulatedClock();
  #actor = this.#start();

  /** What was weighed and what truly was there, for each accepted weight. */
  readonly compared: { readonly fact: string; readonly recorded: Mass; readonly truly: Mass }[] = [];

  #start() {
    const batch = this.log.length === 1 ? planned(BATCH, this.plan) : stateOf(this.log);
    const actor = createActor(machine, { input: { batch: { ...batch, seq: this.log.length } }, clock: this.#clock });
    actor.start();
    return actor;
  }

  get snapshot(): Snapshot {
    return this.#actor.getSnapshot();
  }

  get isOver(): boolean {
    return this.snapshot.status !== 'active';
  }

  /** The chart hears something; its rules are checked. */
  tell(event: ModelEvent): void {
    const before = this.snapshot;
    if (before.status !== 'active') return;
    if (event.type === giveUp.type && this.#isTipped()) return; // what is in the bowl is not said to be in the bin
    if (event.type === RINGS) this.#clock.increment(60_000);
    else this.#actor.send(event as never);
    checkStep(before, event, this.snapshot);
    this.#seeProved();
  }

  #isTipped(): boolean {
    const draw = drawNow(this.snapshot.context);
    const net = draw && this.snapshot.context.batch.draws[draw.id]?.net;
    return draw?.way === 'cup' && net != null && this.world.amount(draw.on, draw.id) < net;
  }

  /** Like the station: a vessel known by its weight proves the zero. */
  #seeProved(): void {
    const draw = drawNow(this.snapshot.context);
    if (draw && this.snapshot.matches('pouring')) this.world.pans[draw.scale as PanId].zeroKnown = true;
  }

  /** What is being written gets onto the disk, and the hands do what follows from it. */
  write(thenCrash = false): void {
    const [written] = offers(this.snapshot);
    if (!this.snapshot.matches('recording') || !written || !('output' in written)) return;
    const facts = written.output as readonly Fact[];
    this.log.push(...facts);
    if (thenCrash) this.crash();
    else this.tell(written);
    for (const fact of facts) this.#followUp(fact);
  }

  fail(): void {
    const failed = offers(this.snapshot)[1];
    if (this.snapshot.matches('recording') && failed) this.tell(failed);
  }

  /** The program dies and is started again; the scales have to prove their zeros anew. */
  crash(): void {
    this.#actor.stop();
    this.#clock = new SimulatedClock();
    for (const pan of Object.values(this.world.pans)) Object.assign(pan, { zeroKnown: false, silent: false });
    this.#actor = this.#start();
    for (const pan of PANS) this.#look(pan);
  }

  #followUp(fact: Fact): void {
    const draw =
      'draw' in fact ? this.plan.tasks.find((task) => task.kind === 'draw' && task.id === fact.draw) : undefined;
    if (fact.kind === 'weighed' && draw?.kind === 'draw') {
      const truly = this.world.amount(draw.way === 'subtract' ? 'spoon' : draw.on, draw.id);
      this.compared.push({ fact: `weighed ${draw.id}`, recorded: fact.net, truly });
      if (draw.way === 'subtract') this.world.empty('spoon', draw.vessel);
    } else if (fact.kind === 'tipped' && draw?.kind === 'draw') {
      const truly = this.world.amount(draw.on, draw.id);
      this.compared.push({ fact: `tipped ${draw.id}`, recorded: fact.residue, truly });
      this.#throwOut(draw.on as VesselId); // wiped
    } else if (fact.kind === 'discarded' && draw?.kind === 'draw') {
      if (draw.way === 'subtract') this.world.empty('spoon', 'bin');
      else this.#throwOut(draw.on as VesselId);
    } else if (fact.kind === 'given-up') {
      this.#throwOut(fact.vessel as VesselId);
    } else if (fact.kind === 'step-done') {
      const step = this.plan.tasks.find((task) => task.kind === 'step' && task.id === fact.step);
      if (step?.kind === 'step' && step.vessel && step.into) this.world.empty(step.vessel, step.into);
    }
  }

  #throwOut(vessel: VesselId): void {
    const pan = PANS.find((each) => this.world.pans[each].standing === vessel);
    if (pan) this.lift(pan);
    this.world.empty(vessel, 'bin');
  }

  /** A pan has been touched: it moves, and comes to rest. */
  #look(pan: PanId): void {
    if (this.world.pans[pan].silent) return;
    this.tell(panEvent({ kind: 'moving', scale: pan, at: 0 }));
    this.tell(this.world.rest(pan));
  }

  put(vessel: VesselId, on: PanId): void {
    const from = PANS.find((pan) => this.world.pans[pan].standing === vessel);
    this.world.put(vessel, on);
    if (from && from !== on) this.#look(from);
    this.#look(on);
  }

  lift(pan: PanId): void {
    this.world.pans[pan].standing = null;
    this.#look(pan);
  }

  /** Pours or takes back, if the chart lets her; her own amount must stay above nothing. */
  pour(draw: PlannedDraw, amount: Mass): void {
    const pan = draw.scale as PanId;
    const may = ['pouring', 'hold', 'short'].some((state) => stateName(this.snapshot).startsWith(state));
    if (!may || this.world.pans[pan].standing !== draw.on) return;
    const there = this.world.amount(draw.way === 'subtract' ? 'spoon' : draw.on, draw.id);
    this.world.pour(draw, amount < -there ? minus(ZERO, there) : amount);
    this.#look(pan);
  }

  /** Pours at once, although the vessel's weight is still being read; not so little that it looks like a slow answer. */
  pourEarly(draw: PlannedDraw, amount: Mass): boolean {
    const pan = draw.scale as PanId;
    const { context } = this.snapshot;
    const isRead = this.snapshot.matches('placing') && standing(context) === 'right' && baseNow(context) === null;
    const isSeen = amount > 20 * scaleOf(context, draw.scale).d;
    if (!isRead || !isSeen || this.world.pans[pan].standing !== draw.on) return false;
    this.world.pour(draw, amount);
    this.#look(pan);
    return true;
  }

  /** Empties the weighed cup, if it is off the pan, and puts it back. */
  tip(draw: PlannedDraw, residue: Mass): void {
    if (!this.snapshot.matches('tipping') || draw.way !== 'cup') return;
    this.lift(draw.scale as PanId);
    this.world.empty(draw.on, draw.vessel, residue);
    this.put(draw.on as VesselId, draw.scale as PanId);
  }

  /** Works for a while; then anything at all. */
  follow({ sensible, does, which, part }: Whim): void {
    for (let steps = 0; steps < sensible && !this.isOver; steps++) this.work();
    if (this.isOver) return;
    const draw = drawNow(this.snapshot.context);
    const pan = PANS[which % 2] ?? 'bench';
    const d = draw ? scaleOf(this.snapshot.context, draw.scale).d : 1;
    const onGrid = (amount: number) => mass(Math.round(amount / d) * d);
    const whims: readonly (() => unknown)[] = [
      () => this.tell(ANSWERS[which % ANSWERS.length] ?? yes),
      () => this.put(VESSELS[which % VESSELS.length] ?? 'bowl', pan),
      () => this.lift(pan),
      () => draw && (this.pourEarly(draw, onGrid(draw.target * part)) || this.pour(draw, onGrid(draw.target * part))),
      () => draw && this.pour(draw, onGrid(-draw.target * part * 0.3)),
      () => this.world.pans[pan].silent || this.tell(this.world.dwell(pan)),
      () => this.#fallSilent(pan),
      () => this.#hearAgain(pan),
      () => draw && this.tip(draw, onGrid(draw.target * part * 0.2)),
      () => this.fail(),
      () => this.crash(),
      () => this.write(true),
      () => this.snapshot.matches({ step: 'running' }) && this.tell({ type: RINGS }),
      () => this.write(),
      () => this.#insist([stop, giveUp, yes]),
      () => which % 4 === 0 && this.#insist([stop, abandon, yes]),
      () => this.#insist([lotEnded, keep('by chance')]),
      () => this.#insist([keep('by chance')]),
      () => draw && this.#pourOver(draw, onGrid(draw.target * (1 + part)), which),
      () => this.#scaleUp(),
    ];
    whims[does % whims.length]?.();
  }

  /** Too much at once, seen and written down as such; kept, if it may be, or the batch is scaled up. */
  #pourOver(draw: PlannedDraw, amount: Mass, which: number): void {
    this.pour(draw, amount);
    this.write();
    if (which % 3 === 0) this.#insist([keep('by chance')]);
    if (which % 3 === 1) this.#scaleUp();
  }

  /** Says yes to a larger batch, once it is worked out. */
  #scaleUp(): void {
    const { rescue, batch } = this.snapshot.context;
    if (!this.snapshot.matches('hold') || !rescue) return;
    if (this.snapshot.matches({ hold: 'searching' })) this.tell(found(aRescue(batch, rescue.held)));
    const [offer] = rescueNow(this.snapshot.context)?.offers ?? [];
    if (offer) this.#insist([{ type: 'answer.rescue', offer } as ModelEvent]);
  }

  #insist(answers: readonly ModelEvent[]): void {
    for (const answer of answers) this.tell(answer);
    this.write();
  }

  #fallSilent(pan: PanId): void {
    this.world.pans[pan].silent = true;
    this.world.pans[pan].zeroKnown = false;
    this.tell(panEvent({ kind: 'silent', scale: pan, at: 0, say: null }));
  }

  #hearAgain(pan: PanId): void {
    if (!this.world.pans[pan].silent) return;
    this.world.pans[pan].silent = false;
    this.tell(panEvent({ kind: 'fresh', scale: pan, at: 0 }));
    this.#look(pan);
  }

  /** The next sensible thing. */
  work(): void {
    const { snapshot } = this;
    const draw = drawNow(snapshot.context);
    const isAtPan = draw && /^(placing|pouring|hold|tipping|blind)/.test(stateName(snapshot));
    if (snapshot.matches('recording')) this.write();
    else if (snapshot.matches('givingUp') || snapshot.matches('abandoning')) this.tell(stop);
    else if (draw && this.world.pans[draw.scale as PanId].silent) this.#hearAgain(draw.scale as PanId);
    else if (snapshot.matches('summing')) this.#sum();
    else if (snapshot.matches('witnessing')) this.tell(seen());
    else if (isAtPan) this.#weigh(draw);
    else this.tell(yes);
  }

  #sum(): void {
    const { bench } = this.world.pans;
    if (this.snapshot.matches({ summing: 'off' })) this.#insist([keep('by chance')]);
    else if (bench.silent) this.#hearAgain('bench');
    else if (bench.standing !== 'bowl' || !bench.zeroKnown) {
      this.lift('bench');
      this.put('bowl', 'bench');
    } else this.tell(this.world.dwell('bench'));
  }

  #weigh(draw: PlannedDraw): void {
    const { snapshot, world } = this;
    const scale = draw.scale as PanId;
    const pan = world.pans[scale];
    const isWaiting = snapshot.matches('placing') && pan.standing === draw.on && standing(snapshot.context) === 'right';
    if (snapshot.hasTag('mayAccept') || isWaiting) this.tell(world.dwell(scale));
    else if (snapshot.matches('tipping')) this.tip(draw, mass(2 * 10_000));
    else if (standing(snapshot.context) === 'wrong' && pan.standing === draw.on) this.tell(yes);
    else if (snapshot.matches('placing') || pan.standing !== draw.on) {
      if (pan.standing !== null || !pan.zeroKnown) this.lift(scale);
      this.put(draw.on as VesselId, scale);
    } else {
      const there = world.amount(draw.way === 'subtract' ? 'spoon' : draw.on, draw.id);
      this.pour(draw, minus(wanted(snapshot.context.batch, draw).target, there));
    }
  }

  /** The batch's state as the log tells it. */
  get told() {
    return this.log.reduce(apply, planned(BATCH, this.plan));
  }
}
