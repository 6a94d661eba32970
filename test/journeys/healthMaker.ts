/**
 * A maker who goes by the words of the station and by the display of the scale, and by nothing else. In the middle of
 * her draw something goes wrong with the scale; she puts it right as far as the words tell her to.
 */
import { setTimeout as pause } from 'node:timers/promises';
import { mass, minus, ZERO } from '../../src/mass/mass.ts';
import { readMass } from '../../src/mass/text.ts';
import { choiceOf, choicesFor } from '../../src/screen/fill/choices.ts';
import { liveViewOf } from '../../src/screen/fill/live.ts';
import { noticesFor } from '../../src/screen/fill/notices.ts';
import { type Words, wordsFor } from '../../src/screen/fill/words.ts';
import { contentOf, moveLot } from '../../src/simulate/holder.ts';
import { drawNow } from '../../src/weighing/look.ts';
import type { HealthBench } from './healthBench.ts';
import { type Hands, handsAt, type Mishap } from './healthHands.ts';

const LOOK_MS = 20;
/** So long she watches a resting display before she takes it for what it is. */
const LOOK_AT_REST_MS = 700;
const PATIENCE_MS = 3000;
/** What stays in a tipped cup (common practice, no source). */
const STAYS_IN_CUP = 0.004;

export class HealthMaker {
  /** All that the station has said, and since when the mishap has been there. */
  readonly heard: string[] = [];
  #before = 0;
  readonly #mishap: Mishap;
  #rig: HealthBench | undefined;
  #struck = false;
  /** The sentence that she has acted on last. */
  #mended = '';

  /** Whether the mishap came. */
  get struck(): boolean {
    return this.#struck;
  }

  constructor(mishap: Mishap) {
    this.#mishap = mishap;
  }

  /** What the station has said since. */
  get heardSince(): readonly string[] {
    return this.heard.slice(this.#before);
  }

  /** To be told of every change of the station. */
  readonly listen = (): void => {
    if (!this.#rig) return;
    const { headline, say } = this.#words;
    for (const said of [`${headline} ${say}`, ...noticesFor(this.#rig.station.snapshot())]) {
      if (!this.heard.slice(-2).includes(said)) this.heard.push(said);
    }
  };

  /** Works until the batch is done. @throws Error when she is at her wits' end */
  async work(rig: HealthBench, withinMs: number): Promise<void> {
    this.#rig = rig;
    const end = performance.now() + withinMs;
    while (rig.station.snapshot().status !== 'done') {
      if (performance.now() > end) throw new Error(`not done; heard:\n${this.heard.join('\n')}`);
      await this.#act();
      await pause(LOOK_MS);
    }
  }

  get #at(): HealthBench {
    if (!this.#rig) throw new Error('the maker is at no bench');
    return this.#rig;
  }

  get #words(): Words {
    return wordsFor(this.#at.station.snapshot());
  }

  get #screen() {
    return liveViewOf(this.#at.station.snapshot(), this.#at.station);
  }

  async #act(): Promise<void> {
    const draw = drawNow(this.#at.station.snapshot().context);
    const { headline, say, mood } = this.#words;
    if (headline === 'GATHER') {
      for (const { signal } of this.#at.bench.scales) await this.#atRest(signal.scale);
      return this.#press('enter');
    }
    if (!draw) return headline === 'LIFT' ? this.#liftAll() : undefined;
    const hands = handsAt(this.#at, draw, () => this.heard);
    const isTrouble = mood === 'trouble' || mood === 'blind' || headline === 'LIFT';
    const said = `${headline} ${say}`;
    if (isTrouble && said !== this.#mended) await this.#mishap.heal?.(said, hands);
    this.#mended = isTrouble ? said : '';
    switch (headline) {
      case 'PUT ON':
      case 'PUT BACK':
      case 'LIFT':
      case 'CHANGE':
      case 'ZERO':
        return this.#putOnAnew(hands, headline);
      case 'CHECK':
        // "Wrong vessel, or not empty?" A busy machine's silence can make the station forget what went into the cup unasked.
        if (draw.way === 'cup' && /not empty/.test(say))
          this.#at.bench.hand.tip(hands.vessel, this.#at.bench.world.bin);
        return this.#putOnAnew(hands, headline);
      case 'WIPE':
        if (hands.instrument.shown?.unit !== 'g') hands.instrument.pressUnit(); // "If it does not show g, press its unit key"
        return this.#putOnAnew(hands, headline);
      case 'OTHER SCALE':
        return this.#bringBack(hands);
      case 'ADD':
      case 'INTO CUP':
      case 'TAKE OUT':
        return this.#pourMissing(hands);
      case 'TIP':
        return this.#tip(hands);
      case 'STOP':
        if (mood === 'hold') return this.#takeBack(hands);
        if (!/unit/.test(say)) return;
        if (hands.instrument.shown?.unit !== 'g') hands.instrument.pressUnit();
        else if (/lift everything off/.test(say)) return this.#putOnAnew(hands, headline);
        return pause(300);
      case 'UNIT':
        if (hands.instrument.shown?.unit !== 'g') hands.instrument.pressUnit();
        return pause(300);
      case 'RESTLESS':
        return this.#switchIfStill(hands);
      case 'NO SCALE':
        // "Is it switched on?"
        if (!hands.instrument.on) return hands.instrument.pressOn();
        return this.#switchIfStill(hands);
      default:
        return;
    }
  }

  /** "Does the number stand quite still? Then switch it off and on." She waits first whether it mends itself. */
  async #switchIfStill({ instrument, pan, draw, vessel }: Hands): Promise<void> {
    const { hand } = this.#at.bench;
    const before = instrument.shown?.number.digits;
    const { headline } = this.#words;
    await this.#soon(() => this.#words.headline !== headline);
    if (this.#words.headline !== headline || !instrument.on || instrument.shown?.number.digits !== before) return;
    hand.lift(vessel);
    instrument.pressOff();
    await pause(300);
    instrument.pressOn();
    await this.#atRest(draw.scale);
    hand.put(vessel, pan);
    return this.#atRest(draw.scale);
  }

  /** The last look at the empty pans. */
  async #liftAll(): Promise<void> {
    const { world, hand } = this.#at.bench;
    for (const { signal } of this.#at.bench.scales) {
      for (const each of [...world.pan(signal.scale).standing]) hand.lift(each);
      await this.#atRest(signal.scale);
    }
  }

  #press(key: string): void {
    const { station } = this.#at;
    const does = choiceOf(choicesFor(station.snapshot()), key);
    if (does === undefined) throw new Error(`no key ${key} now: ${this.heard.at(-1)}`);
    if ('answer' in does) station.answer(does.answer);
    else if ('declareEmpty' in does) station.declareEmpty(does.declareEmpty);
  }

  #isOpen(key: string): boolean {
    return choiceOf(choicesFor(this.#at.station.snapshot()), key) !== undefined;
  }

  async #soon(look: () => boolean): Promise<void> {
    const end = performance.now() + PATIENCE_MS;
    while (!look() && performance.now() < end) await pause(LOOK_MS);
  }

  /** Waits until the display has kept its figure for a look, and the station takes it for rest, too. */
  async #atRest(scale: string): Promise<void> {
    const { bench, station } = this.#at;
    const instrument = bench.instruments.get(scale);
    const begun = performance.now();
    let since = begun;
    let figure = instrument?.shown?.number.digits;
    const isRest = () => performance.now() - since >= LOOK_AT_REST_MS && station.live(scale).settled;
    while (!isRest() && performance.now() - begun < PATIENCE_MS && instrument?.on) {
      await pause(LOOK_MS);
      const now = instrument.shown?.number.digits;
      const moved = now === undefined || figure === undefined ? now !== figure : Math.abs(Number(now - figure)) > 2;
      if (!moved) continue;
      figure = now;
      since = performance.now();
    }
  }

  /** Everything off, a look at the empty pan, and the vessel on again. */
  async #putOnAnew(hands: Hands, headline: string): Promise<void> {
    const { instrument, pan, vessel, draw } = hands;
    const { hand } = this.#at.bench;
    const before = instrument.shown?.number.digits;
    const stood = pan.standing.size > 0;
    for (const each of [...pan.standing]) hand.lift(each);
    await this.#atRest(draw.scale);
    if (stood && headline === 'LIFT' && instrument.on && instrument.shown?.number.digits === before) {
      // "Does the number stand still when it is lifted? Then switch the scale off and on."
      instrument.pressOff();
      await pause(300);
      instrument.pressOn();
      await this.#atRest(draw.scale);
    }
    if (headline === 'ZERO') {
      instrument.pressZero();
      await this.#atRest(draw.scale);
    }
    if (headline === 'ZERO') await this.#soon(() => this.#isOpen('e'));
    if (this.#isOpen('e')) this.#press('e');
    hand.put(vessel, pan);
    await this.#atRest(draw.scale);
  }

  /** What went onto the other scale: the vessel comes over; what went into another vessel is thrown away. */
  async #bringBack(hands: Hands): Promise<void> {
    const { hand, world } = this.#at.bench;
    const under = world.panUnder(hands.vessel);
    if (under === hands.pan) {
      for (const { id } of this.#at.bench.scales.map(({ signal }) => world.pan(signal.scale))) {
        if (id === hands.draw.scale) continue;
        for (const other of world.pan(id).standing) moveLot(other, world.bin, hands.draw.lot, contentOf(other));
      }
      return pause(500);
    }
    hand.lift(hands.vessel);
    await this.#atRest(hands.draw.scale);
    hand.put(hands.vessel, hands.pan);
    return this.#atRest(hands.draw.scale);
  }

  async #pourMissing(hands: Hands): Promise<void> {
    const { draw, rig } = hands;
    const { state, remaining: shown } = this.#screen;
    const remaining = shown === undefined ? undefined : readMass(shown, 'g');
    if (state !== 'settled' || remaining === undefined) return;
    if (rig.bench.hand.pouring || !hands.instrument.on) return; // nobody pours before a dark display
    const isTime = this.#mishap.strikesAt === 'placed' || remaining < draw.target * 0.6;
    if (!this.#struck && isTime) {
      this.#struck = true;
      this.#before = this.heard.length;
      await this.#mishap.strike(hands);
      return;
    }
    const amount = this.#struck ? remaining : Math.min(remaining, draw.target * 0.5);
    if (amount <= 0) return;
    const pour = hands.pour(amount / draw.target);
    await hands.arrived(pour);
    await this.#atRest(draw.scale);
  }

  async #takeBack({ vessel, draw }: Hands): Promise<void> {
    const { world, hand } = this.#at.bench;
    const { state, remaining: shown } = this.#screen;
    const remaining = shown === undefined ? undefined : readMass(shown, 'g');
    if (state !== 'settled' || remaining === undefined || remaining >= 0) return;
    const surplus = minus(ZERO, remaining);
    if (draw.way === 'subtract') hand.move(world.spoon, vessel, surplus);
    else moveLot(vessel, world.bin, draw.lot, surplus);
    await this.#atRest(draw.scale);
  }

  async #tip({ vessel, draw, pan }: Hands): Promise<void> {
    const { world, hand } = this.#at.bench;
    if (pan.standing.has(vessel)) {
      hand.lift(vessel);
      await this.#atRest(draw.scale);
    }
    hand.tip(vessel, world.vessel(draw.vessel), mass(Math.round(contentOf(vessel) * STAYS_IN_CUP)));
    hand.put(vessel, pan);
    await this.#atRest(draw.scale);
  }
}
