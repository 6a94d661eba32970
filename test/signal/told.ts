/** A signal under test: readings typed by hand or from the simulated instrument go in, happenings are kept. */
import { type Mass, mass } from '../../src/mass/mass.ts';
import { toMicrograms } from '../../src/mass/units.ts';
import type { Happening } from '../../src/signal/happening.ts';
import { type SignalConfig, type SignalInput, type SignalState, STILL, step } from '../../src/signal/signal.ts';
import { createInstrument, type Instrument, type InstrumentSettings } from '../../src/simulate/instrument.ts';
import { seededRandom } from '../../src/simulate/seededRandom.ts';
import type { Rhythm } from '../../src/wire/reading.ts';

export const g = (grams: number): Mass => mass(Math.round(grams * 1_000_000));

/** The three ways of speaking that scales have. `flag`: it says itself whether it has settled. */
export interface Voice {
  readonly rhythm: Rhythm;
  readonly flag: boolean;
  readonly perSecond: number;
}

export const voices: Readonly<Record<string, Voice>> = {
  'continuous, with a flag': { rhythm: 'continuous', flag: true, perSecond: 10 },
  'continuous, without a flag': { rhythm: 'continuous', flag: false, perSecond: 10 },
  'on change, without a flag': { rhythm: 'on-change', flag: false, perSecond: 5 },
  'asked, without a flag': { rhythm: 'asked', flag: false, perSecond: 4 },
};

/** A scale with d = 0.1 g that speaks continuously, ten lines a second, but for what is said. */
export function aConfig(change: Partial<SignalConfig> = {}): SignalConfig {
  return {
    scale: 'bench',
    d: g(0.1),
    repeatability: g(0.05),
    rhythm: 'continuous',
    linesPerSecond: 10,
    unit: 'g',
    dwellMs: 1000,
    ...change,
  };
}

export interface Told {
  readonly happenings: Happening[];
  readonly state: SignalState;
  now: number;
  feed(input: SignalInput): readonly Happening[];
  /** The display shows this for so long, with a reading every tenth of a second and ticks between. */
  show(grams: number, ms: number, change?: { unit?: 'g' | 'oz'; stable?: boolean }): readonly Happening[];
  /** Nothing is said for so long; only the ticks go on. */
  quiet(ms: number): readonly Happening[];
}

/** What happenings are in short: `settled 12.3`, with `?` where the zero is not known. */
export function brief(happenings: readonly Happening[]): string[] {
  return happenings.map((each) => {
    switch (each.kind) {
      case 'settled':
      case 'dwelt':
        return `${each.kind} ${each.load / 1e6}${each.zeroKnown ? '' : '?'}`;
      case 'emptied':
        return each.zero === 0 ? 'emptied' : `emptied at ${each.zero / 1e6}`;
      case 'trouble':
        return `trouble ${each.trouble}`;
      default:
        return each.kind;
    }
  });
}

export function listenTo(config: SignalConfig): Told {
  let state = STILL;
  const told: Told = {
    happenings: [],
    get state() {
      return state;
    },
    now: 0,
    feed(input) {
      const stepped = step(state, input, config);
      state = stepped.state;
      told.happenings.push(...stepped.happenings);
      return stepped.happenings;
    },
    show(grams, ms, { unit = 'g', stable } = {}) {
      const from = told.happenings.length;
      for (const until = told.now + ms; told.now < until; ) {
        told.now += 100;
        told.feed({ kind: 'reading', reading: { mass: g(grams), unit, stable, at: told.now, raw: '' } });
        told.feed({ kind: 'tick', at: told.now });
      }
      return told.happenings.slice(from);
    },
    quiet(ms) {
      const from = told.happenings.length;
      for (const until = told.now + ms; told.now < until; ) {
        told.now += 100;
        told.feed({ kind: 'tick', at: told.now });
      }
      return told.happenings.slice(from);
    },
  };
  return told;
}

export interface Pan extends Told {
  /** What truly stands on the pan. */
  load: Mass;
  readonly instrument: Instrument;
  /** Lets time pass, so many milliseconds. */
  pass(ms: number): readonly Happening[];
}

export interface PanSettings {
  readonly voice: Voice;
  readonly d?: number;
  readonly repeatability?: number;
  readonly seed?: number;
  readonly instrument?: Partial<InstrumentSettings>;
}

/** A simulated instrument that speaks with a voice, and the signal that hears it. Figures are in grams. */
export function panWith({ voice, d = 0.1, repeatability = 0.05, seed = 1, instrument: special }: PanSettings): Pan {
  const told = listenTo(
    aConfig({ d: g(d), repeatability: g(repeatability), rhythm: voice.rhythm, linesPerSecond: voice.perSecond }),
  );
  const settings = { capacity: g(5000), d: g(d), noise: g(repeatability / 2), perSecond: voice.perSecond, ...special };
  let said: string | undefined;
  const hear = (shown: NonNullable<Instrument['shown']>): void => {
    if (shown.condition !== undefined) {
      told.feed({ kind: 'condition', condition: shown.condition, at: shown.at });
      return;
    }
    const figure = `${shown.number.digits} ${shown.unit}`;
    if (voice.rhythm === 'on-change' && figure === said) return;
    said = figure;
    const mass = toMicrograms(shown.number.digits, shown.number.scale, shown.unit);
    const stable = voice.flag ? shown.stable : undefined;
    told.feed({ kind: 'reading', reading: { mass, unit: shown.unit, stable, at: shown.at, raw: '' } });
  };
  let load = g(0);
  const instrument = createInstrument(settings, () => load, seededRandom(seed));
  return {
    ...told,
    get state() {
      return told.state;
    },
    get load() {
      return load;
    },
    set load(truly) {
      load = truly;
    },
    instrument,
    pass(ms) {
      const from = told.happenings.length;
      for (const until = told.now + ms; told.now < until; ) {
        told.now += 50;
        for (const shown of instrument.advance(told.now)) hear(shown);
        told.feed({ kind: 'tick', at: told.now });
      }
      return told.happenings.slice(from);
    },
  };
}
