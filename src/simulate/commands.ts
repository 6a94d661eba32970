/** Typed commands for one simulated scale: what a maker would do with hands and keys. */
import { type Mass, mass, ZERO } from '../mass/mass.ts';
import { printMass, readMass, readMassWithUnit } from '../mass/text.ts';
import { createHand } from './hand.ts';
import type { Instrument } from './instrument.ts';
import { loadOf } from './pan.ts';
import { createWorld } from './world.ts';

/** The faults that the far end of a wire can be told to make. */
export interface WireFaults {
  silent(quiet: boolean): void;
  cutNextLine(): void;
  sendRaw(bytes: string): void;
  /** Its send key is pressed. */
  pressSend(): void;
  /** The cable is pulled out and plugged in again a little later. */
  drop(): void;
}

export interface PanCommands {
  /** Does what a line says. @returns a sentence to print, or `quit` */
  run(line: string): string | typeof QUIT;
  /** The true load on the pan at a time, for the instrument. */
  loadAt(atMs: number): Mass;
}

export const QUIT = Symbol('quit');

export const HELP = `put 296.4      put that many grams on the pan (a unit may follow: put 10 oz)
pour 92.8 5    pour that many grams more, at 5 g/s (10 g/s unless given)
stop           stop pouring
take 3.1       take grams off
lift           take everything off; again: put it back
zero | tare    the scale's keys
unit           its unit key
send           its send key, for scales that send on a key
off | on       switch it off, or on (then what is on the pan counts as zero)
freeze         the display holds its figure; again: let go
snap 300 2     the display shows 300 g within 2 g of it; 0 0: no more
drift -0.02    its zero wanders so many grams a second; 0: no more
shake 0.5      it trembles by so many grams; 0: no more
silent         send nothing; again: speak
cut            cut the next line short
drop           pull the cable out for two seconds
noise          send bytes that mean nothing
low            its supply is low; again: it is well
help | quit`;

/** More than any scale carries: what commands put on the pan comes from here. */
const STOCK = mass(1e15);

/**
 * Commands that act on a pan of their own.
 * @param instrument asked for at each command, because it is made with `loadAt`
 * @param startMs monotonic milliseconds
 */
export function createPanCommands(instrument: () => Instrument, faults: WireFaults, startMs: number): PanCommands {
  const world = createWorld({
    pans: ['pan'],
    vessels: [{ id: 'load', tare: ZERO }],
    lots: [{ id: 'stock', ingredient: 'stock', onHand: STOCK }],
  });
  const hand = createHand(world, startMs);
  const [pan, load, stock] = [world.pan('pan'), world.vessel('load'), world.lot('stock')];
  hand.put(load, pan);
  let quiet = false;

  const inGrams = (of: Mass): string => `${printMass(of, { decimals: 3 })} g`;
  const onPan = (): string => `${inGrams(loadOf(pan))} on the pan`;
  const amount = (text: string): Mass | undefined => {
    const read = readMass(text, 'g') ?? readMassWithUnit(text);
    return read !== undefined && read >= 0 ? read : undefined;
  };

  const actions: Readonly<Record<string, (words: readonly string[]) => string | typeof QUIT>> = {
    put(words) {
      const wanted = amount(words.join(' '));
      if (wanted === undefined) return 'put needs grams, such as: put 296.4';
      hand.stop();
      hand.tip(load, stock);
      hand.move(stock, load, wanted);
      hand.put(load, pan);
      return onPan();
    },
    pour([grams = '', rate = '10']) {
      const upTo = amount(grams);
      const gramsPerSecond = Number(rate);
      if (upTo === undefined || !(gramsPerSecond > 0))
        return 'pour needs grams, and grams per second if given: pour 92.8 5';
      hand.pour({ from: stock, to: load, upTo, gramsPerSecond });
      return `pouring ${inGrams(upTo)} at ${gramsPerSecond} g/s`;
    },
    stop() {
      hand.stop();
      return `stopped, ${onPan()}`;
    },
    take(words) {
      const wanted = amount(words.join(' '));
      if (wanted === undefined) return 'take needs grams, such as: take 3.1';
      hand.move(load, stock, wanted);
      return onPan();
    },
    lift() {
      if (world.panUnder(load)) hand.lift(load);
      else hand.put(load, pan);
      return onPan();
    },
    zero() {
      instrument().pressZero();
      return 'zero key pressed';
    },
    tare() {
      instrument().pressTare();
      return 'tare key pressed';
    },
    freeze() {
      const { faults } = instrument();
      faults.frozen = faults.frozen === undefined ? 'held' : undefined;
      return faults.frozen === undefined ? 'the display follows again' : 'the display holds its figure';
    },
    snap([figure = '', within = '']) {
      const [to, near] = [amount(figure), amount(within)];
      if (to === undefined || near === undefined) return 'snap needs grams twice, such as: snap 300 2';
      instrument().faults.snapsTo = near === 0 ? undefined : { figure: to, within: near };
      return near === 0 ? 'it snaps no more' : `within ${inGrams(near)} it shows ${inGrams(to)}`;
    },
    drift([rate = '']) {
      const gramsPerSecond = Number(rate);
      if (rate === '' || !Number.isFinite(gramsPerSecond)) return 'drift needs grams per second, such as: drift -0.02';
      instrument().faults.drift = gramsPerSecond * 1e6;
      return `its zero wanders by ${gramsPerSecond} g/s`;
    },
    shake([grams = '']) {
      const by = amount(grams);
      if (by === undefined) return 'shake needs grams, such as: shake 0.5';
      instrument().faults.tremble = by;
      return `it trembles by ${inGrams(by)}`;
    },
    unit() {
      instrument().pressUnit();
      return 'unit key pressed';
    },
    send() {
      faults.pressSend();
      return 'send key pressed';
    },
    off() {
      instrument().pressOff();
      return 'switched off';
    },
    on() {
      instrument().pressOn();
      return 'switched on';
    },
    silent() {
      quiet = !quiet;
      faults.silent(quiet);
      return quiet ? 'it sends nothing now' : 'it speaks again';
    },
    cut() {
      faults.cutNextLine();
      return 'the next line will be cut short';
    },
    drop() {
      faults.drop();
      return 'the cable is out for two seconds';
    },
    low() {
      const { faults: inside } = instrument();
      inside.lowSupply = !inside.lowSupply;
      return inside.lowSupply ? 'its supply is low' : 'its supply is well again';
    },
    noise() {
      faults.sendRaw('\u0000\u00ff\u0080~~\u001b[31m\u0007');
      return 'noise sent';
    },
    help: () => HELP,
    quit: () => QUIT,
  };

  return {
    run(line) {
      const [verb = '', ...words] = line.trim().split(/\s+/);
      if (verb === '') return '';
      const action = Object.hasOwn(actions, verb) ? actions[verb] : undefined;
      return action ? action(words) : 'no such command; help shows them';
    },
    loadAt: hand.loadOn(pan),
  };
}
