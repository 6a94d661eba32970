/**
 * Ingredients as they leave a hand: in a stream, in lumps, in drops, with what still comes after the hand has stopped.
 * All numbers are guesses at usual workshop goods (common practice, no source); they were set before any cue was tried.
 */

/** How the hand pours at a moment. */
export type Pace = 'full' | 'eased' | 'drips' | 'stopped';

export interface Stuff {
  readonly name: string;
  readonly scale: 'bench' | 'fine';
  /** Targets are drawn between these, evenly by their logarithm, grams. */
  readonly grams: readonly [number, number];
  /** Half-width of the band in percent of the target. */
  readonly bandPercent: number;
  /** Grams per second at each pace, for a hand of usual tempo. */
  readonly rate: Readonly<Record<Exclude<Pace, 'stopped'>, number>>;
  /** Mean grams of one lump, drop or piece at each pace; 0: it runs in a stream. */
  readonly piece: Readonly<Record<Exclude<Pace, 'stopped'>, number>>;
  /** Relative unevenness of the stream, or of the lumps (standard deviation of their logarithm). */
  readonly uneven: number;
  /** What comes after the stop: so many grams, and so many seconds of the flow that was stopped. */
  readonly after: {
    readonly grams: number;
    readonly seconds: number;
    readonly scatter: number;
    readonly tauMs: number;
  };
  /** Chance that a lump of full size slides down after the stop. */
  readonly slide: number;
}

const STREAM = { full: 0, eased: 0, drips: 0 } as const;

export const STUFF: readonly Stuff[] = [
  {
    name: 'free-flowing powder, scoop',
    scale: 'bench',
    grams: [60, 600],
    bandPercent: 2,
    rate: { full: 25, eased: 7, drips: 1.5 },
    piece: { full: 0, eased: 0, drips: 0.3 },
    uneven: 0.3,
    after: { grams: 0.1, seconds: 0.15, scatter: 0.4, tauMs: 150 },
    slide: 0,
  },
  {
    name: 'sticky powder, clumps',
    scale: 'bench',
    grams: [60, 400],
    bandPercent: 2,
    rate: { full: 14, eased: 5, drips: 1.2 },
    piece: { full: 4, eased: 1.2, drips: 0.4 },
    uneven: 0.6,
    after: { grams: 0.1, seconds: 0.1, scatter: 0.5, tauMs: 150 },
    slide: 0.05,
  },
  {
    name: 'dye powder, spatula',
    scale: 'fine',
    grams: [0.5, 4],
    bandPercent: 5,
    rate: { full: 0.25, eased: 0.08, drips: 0.03 },
    piece: { full: 0.06, eased: 0.03, drips: 0.012 },
    uneven: 0.5,
    after: { grams: 0.003, seconds: 0.05, scatter: 0.5, tauMs: 150 },
    slide: 0,
  },
  {
    name: 'water, jug',
    scale: 'bench',
    grams: [60, 900],
    bandPercent: 2,
    rate: { full: 60, eased: 15, drips: 2 },
    piece: STREAM,
    uneven: 0.2,
    after: { grams: 0.4, seconds: 0.12, scatter: 0.3, tauMs: 200 },
    slide: 0,
  },
  {
    name: 'oil, bottle',
    scale: 'bench',
    grams: [40, 400],
    bandPercent: 2,
    rate: { full: 30, eased: 9, drips: 1.5 },
    piece: STREAM,
    uneven: 0.2,
    after: { grams: 0.8, seconds: 0.15, scatter: 0.3, tauMs: 500 },
    slide: 0,
  },
  {
    name: 'warm melted surfactant paste',
    scale: 'bench',
    grams: [150, 1200],
    bandPercent: 2,
    rate: { full: 35, eased: 12, drips: 3 },
    piece: STREAM,
    uneven: 0.35,
    after: { grams: 1.5, seconds: 0.25, scatter: 0.35, tauMs: 700 },
    slide: 0,
  },
  {
    name: 'honey, jar',
    scale: 'bench',
    grams: [40, 300],
    bandPercent: 2,
    rate: { full: 12, eased: 5, drips: 1.5 },
    piece: STREAM,
    uneven: 0.15,
    after: { grams: 0.8, seconds: 0.5, scatter: 0.3, tauMs: 900 },
    slide: 0,
  },
  {
    name: 'flakes, by hand',
    scale: 'bench',
    grams: [80, 600],
    bandPercent: 2,
    rate: { full: 20, eased: 6, drips: 1.5 },
    piece: { full: 2.5, eased: 1.2, drips: 0.5 },
    uneven: 0.5,
    after: { grams: 0, seconds: 0.05, scatter: 0.5, tauMs: 100 },
    slide: 0,
  },
  {
    name: 'essential oil, dropper',
    scale: 'fine',
    grams: [1, 8],
    bandPercent: 5,
    rate: { full: 0.12, eased: 0.06, drips: 0.03 },
    piece: { full: 0.03, eased: 0.03, drips: 0.03 },
    uneven: 0.1,
    after: { grams: 0, seconds: 0.1, scatter: 0.5, tauMs: 200 },
    slide: 0,
  },
  {
    name: 'butter, cut pieces',
    scale: 'bench',
    grams: [60, 500],
    bandPercent: 2,
    rate: { full: 8, eased: 3, drips: 0.6 },
    piece: { full: 12, eased: 3.5, drips: 0.7 },
    uneven: 0.4,
    after: { grams: 0, seconds: 0, scatter: 0.1, tauMs: 100 },
    slide: 0,
  },
];
