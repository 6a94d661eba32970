/** A wire profile: how one kind of scale speaks on the wire. It is described by the shape of its lines, not by its maker. */
import type { Unit } from '../mass/units.ts';
import type { Framing } from './framing.ts';
import type { Condition, Rhythm } from './reading.ts';

/** Settings of the serial port. */
export interface SerialSettings {
  /** Bits per second. */
  readonly baud: number;
  readonly dataBits: 7 | 8;
  readonly parity: 'none' | 'even' | 'odd';
  readonly stopBits: 1 | 2;
}

/** What a status word says. `low-supply`: of its battery or mains, beside a good weight; nothing of rest. */
export type StatusMeaning = 'stable' | 'moving' | 'low-supply' | Condition;

/** What it means when a line carries no unit. */
export interface BlankUnit {
  /** The unit of the number all the same. */
  readonly unit: Unit;
  /** True when the scale leaves the unit out while it moves, so that a unit in the line means: settled. */
  readonly moving: boolean;
}

/** How a simulated scale writes this profile's lines; see `speak.ts`. */
export interface Writes {
  readonly weight: string;
  /** The line while it shows no weight (over range and the like); undefined: it then sends nothing. */
  readonly noWeight: string | undefined;
}

export interface Profile {
  /** File name without its ending. */
  readonly id: string;
  /** The shape in words. */
  readonly describes: string;
  readonly serial: SerialSettings;
  readonly framing: Framing;
  /** More than one: the lines are joined (see `LINE_JOINT`) before the pattern sees them. */
  readonly linesPerReading: number;
  readonly rhythm: Rhythm;
  /** Readings per second: usual (continuous, while settled), largest (on change) or answered (asked). */
  readonly linesPerSecond: number;
  /** Fits the whole text of a line (of all lines of a reading, joined). Groups: `number`, and where the shape has them `sign`, `unit`, `status`. */
  readonly pattern: RegExp;
  readonly decimal: 'point' | 'comma';
  readonly status: ReadonlyMap<string, StatusMeaning>;
  /** What a line without a status word says of rest; undefined: nothing. */
  readonly noStatus: 'stable' | 'moving' | undefined;
  readonly units: ReadonlyMap<string, Unit>;
  /** undefined: a number without a unit is refused. */
  readonly blankUnit: BlankUnit | undefined;
  /** For asked scales: what is sent, with its ending, and how often, milliseconds. */
  readonly ask: { readonly bytes: string; readonly everyMs: number } | undefined;
  /** undefined: no simulated scale can speak it. */
  readonly writes: Writes | undefined;
}

/** The units that a profile can say, in its own order, each once. */
export function unitsOf({ units, blankUnit }: Pick<Profile, 'units' | 'blankUnit'>): Unit[] {
  return [...new Set([...(blankUnit ? [blankUnit.unit] : []), ...units.values()])];
}
