/** A workshop as its `workshop.yaml` describes it. Ids are the keys of the file. */
import type { AccuracyClass } from '../accept/accuracyClass.ts';
import type { CheckWeight } from '../accept/checkWeights.ts';
import type { Mass } from '../mass/mass.ts';
import type { Unit } from '../mass/units.ts';
import type { Rhythm } from '../wire/reading.ts';
import type { HistoryAddress } from './historyAddress.ts';

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
  /** How many of them there are, all alike; one when left out. */
  readonly count?: number | undefined;
  readonly note: string | undefined;
}

/** One thing that an ingredient is made of: a substance by its INCI name, or another ingredient with all its parts. */
export type Part =
  | {
      readonly inci: string;
      /** Parts per million of the ingredient's weight. */
      readonly ppm: number;
      /** Its name on a label in the US, where it is another. */
      readonly us?: string | undefined;
      /** A colourant whose name does not show it. */
      readonly colour?: boolean | undefined;
      readonly nano?: boolean | undefined;
    }
  | { readonly of: string; readonly ppm: number };

/** A fragrance allergen that an ingredient carries, by its supplier's statement. It is part of the ingredient's weight. */
export interface AllergenShare {
  readonly inci: string;
  readonly ppm: number;
}

/** What an ingredient, or one lot of it, is made of, for the label. */
export interface Composition {
  /** The shares add up to the whole; undefined where it is one substance, or its parts are not known. */
  readonly madeOf?: readonly Part[] | undefined;
  /** undefined: nothing is stated. */
  readonly allergens?: readonly AllergenShare[] | undefined;
}

/** One delivery of an ingredient. What it states of its composition counts before the ingredient's. */
export interface Lot extends Composition {
  readonly id: string;
  readonly onHand: Mass;
  /** Last day of use, `YYYY-MM-DD`; undefined when it does not expire. */
  readonly expires: string | undefined;
  /** Price per kilogram in the workshop's money; undefined when not known. */
  readonly pricePerKg: number | undefined;
  /** Id of the jar (a vessel) that holds it, for weighing by subtraction. */
  readonly jar: string | undefined;
  /** The code on the supplier's label, where the workshop's own differs. */
  readonly supplierLot?: string | undefined;
  /** Why no batch may use it; absent when one may. */
  readonly blocked?: string | undefined;
}

/** `preservative`: keeps water from spoiling. `water`: is water, or mostly so, whatever its INCI name says. */
export type IngredientRole = 'preservative' | 'water';

/** What can hurt about an ingredient. */
export type Hazard = 'dust' | 'corrosive' | 'flammable' | 'sensitiser' | 'hot';

export interface Ingredient extends Composition {
  readonly id: string;
  readonly name: string;
  /** INCI name or names, as on a label. */
  readonly inci: string;
  /** Its strength: active matter in it, parts per million of its weight; undefined when not known. */
  readonly active?: number | undefined;
  /** What it does where the program has to know; undefined for all others. */
  readonly role?: IngredientRole | undefined;
  /** Bulk density as it lies in the vessel, g/ml; undefined when not known. */
  readonly density: number | undefined;
  readonly lots: readonly Lot[];
  /** What can hurt about it, beside what its form brings; none when left out. */
  readonly hazards?: readonly Hazard[] | undefined;
  /** The form in which it is weighed; a powder is taken to be dusty, what is molten to be hot. */
  readonly form?: 'powder' | 'granules' | 'liquid' | 'molten' | undefined;
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
  /** The money that prices are in, as it is printed; undefined: printed without. */
  readonly currency?: string | undefined;
  /** undefined: no sound. */
  readonly cueSound?: CueSoundWish | undefined;
  /** Where this bench's facts are sent beside its own log; undefined: nowhere. */
  readonly sharedHistory?: HistoryAddress | undefined;
}
