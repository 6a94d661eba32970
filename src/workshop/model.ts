/** A workshop as its `workshop.yaml` describes it. Ids are the keys of the file. */
import type { AccuracyClass } from '../accept/accuracyClass.ts';
import type { CheckWeight } from '../accept/checkWeights.ts';
import type { Mass } from '../mass/mass.ts';
import type { Unit } from '../mass/units.ts';
import type { Rhythm } from '../wire/reading.ts';

/** A scale of the workshop. */
export interface Scale {
  readonly id: string;
  /** The largest load, vessel included. */
  readonly capacity: Mass;
  /** The scale interval *d*: the step of the display. */
  readonly d: Mass;
  /** Standard deviation of repeated weighings of one load, where the maker knows it. */
  readonly repeatability: Mass | undefined;
  /** Accuracy class as marked on the scale; undefined when the maker does not know it. */
  readonly accuracyClass?: AccuracyClass | undefined;
  /** Verification scale interval as marked on the scale; undefined: the same as `d`. */
  readonly e?: Mass | undefined;
  /** How far off its weights may be by the scale's own data; undefined when the maker does not know it. */
  readonly permissibleError?: Mass | undefined;
  /** A serial port's path, `tcp:HOST:PORT` or `hid:...`; undefined for a scale whose display the maker types in. */
  readonly port: string | undefined;
  /** Id of the wire profile; undefined when there is no port, and for a USB scale. */
  readonly profile: string | undefined;
  /** Serial number of its serial port's adapter: no other is its port then. */
  readonly adapter?: string | undefined;
  /** How a USB scale (`hid:...`) speaks, which no profile tells; undefined for all others. */
  readonly usb?: UsbSpeech | undefined;
  /** How long a weight must stand settled in its band before it is accepted by itself, milliseconds. */
  readonly dwellMs: number;
  /** The scale switches itself off after so long without a change, milliseconds; undefined when it does not. */
  readonly sleepsAfterMs: number | undefined;
}

/** What the standard for USB scales leaves open. */
export interface UsbSpeech {
  /** The unit that it is set to. */
  readonly unit: Unit;
  readonly rhythm: Exclude<Rhythm, 'asked'>;
  readonly linesPerSecond: number;
}

/** Anything that holds an ingredient on a pan. */
export interface Vessel {
  readonly id: string;
  readonly name: string;
  /** Its weight clean, dry and empty, without lid. */
  readonly tare: Mass;
  /** What it holds with room to stir, millilitres; undefined for a stock jar. */
  readonly usableMl: number | undefined;
  readonly note: string | undefined;
}

/** One delivery of an ingredient. */
export interface Lot {
  readonly id: string;
  readonly onHand: Mass;
  /** Last day of use, `YYYY-MM-DD`; undefined when it does not expire. */
  readonly expires: string | undefined;
  /** Price per kilogram in the workshop's money; undefined when not known. */
  readonly pricePerKg: number | undefined;
  /** Id of the jar (a vessel) that holds it, for weighing by subtraction. */
  readonly jar: string | undefined;
}

export interface Ingredient {
  readonly id: string;
  readonly name: string;
  /** INCI name or names, as on a label. */
  readonly inci: string;
  /** Bulk density as it lies in the vessel, g/ml; undefined when not known. */
  readonly density: number | undefined;
  readonly lots: readonly Lot[];
  /** Sentences to show before the jar is opened. */
  readonly cautions: readonly string[];
}

/** How cues are said aloud: by the terminal's bell, or by a program with its arguments. */
export type CueSoundWish = 'bell' | { readonly run: readonly string[] };

export interface Workshop {
  readonly name: string;
  readonly operators: readonly string[];
  readonly scales: ReadonlyMap<string, Scale>;
  readonly vessels: ReadonlyMap<string, Vessel>;
  readonly ingredients: ReadonlyMap<string, Ingredient>;
  /** Weights of known mass to check the scales with. */
  readonly checkWeights: readonly CheckWeight[];
  /** undefined: no sound. */
  readonly cueSound?: CueSoundWish | undefined;
}
