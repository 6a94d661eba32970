/** A wire profile: how one kind of scale speaks on the wire. It is described by the shape of its lines, not by its maker. */
import type { Unit } from '../mass/units.ts';
import type { Condition, Rhythm } from './reading.ts';

/** Settings of the serial port. */
export interface SerialSettings {
  /** Bits per second. */
  readonly baud: number;
  readonly dataBits: 7 | 8;
  readonly parity: 'none' | 'even' | 'odd';
  readonly stopBits: 1 | 2;
}

/** What ends a line: carriage return and line feed, line feed alone, carriage return alone. */
export type Ending = 'crlf' | 'lf' | 'cr';

/** The bytes of each ending. */
export const ENDING_TEXT: Readonly<Record<Ending, string>> = { crlf: '\r\n', lf: '\n', cr: '\r' };

/** What a status word says. */
export type StatusMeaning = 'stable' | 'moving' | Condition;

/** What it means when a line carries no unit. */
export interface BlankUnit {
  /** The unit of the number all the same. */
  readonly unit: Unit;
  /** True when the scale leaves the unit out while it moves, so that a unit in the line means: settled. */
  readonly moving: boolean;
}

/** How a simulated scale writes this profile's lines; see `simulate/speak.ts`. */
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
  readonly ending: Ending;
  readonly rhythm: Rhythm;
  /** Usual (continuous), largest (on-change) or answered (asked) lines per second. */
  readonly linesPerSecond: number;
  /** Fits a whole line without its ending. Groups: `number`, and where the shape has them `sign`, `unit`, `status`. */
  readonly pattern: RegExp;
  readonly decimal: 'point' | 'comma';
  readonly status: ReadonlyMap<string, StatusMeaning>;
  /** What a line without a status word says of rest; undefined: nothing. */
  readonly noStatus: 'stable' | 'moving' | undefined;
  readonly units: ReadonlyMap<string, Unit>;
  /** undefined: a number without a unit is refused. */
  readonly blankUnit: BlankUnit | undefined;
  /** For asked scales: what is sent (without the ending) and how often, milliseconds. */
  readonly ask: { readonly send: string; readonly everyMs: number } | undefined;
  readonly writes: Writes;
}

/** The units that a profile can say, in its own order, each once. */
export function unitsOf({ units, blankUnit }: Pick<Profile, 'units' | 'blankUnit'>): Unit[] {
  return [...new Set([...(blankUnit ? [blankUnit.unit] : []), ...units.values()])];
}
