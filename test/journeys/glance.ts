/** What a person sees at a glance: the headline, the sentence, and the small numbers. Read from text alone. */
import type { Mass } from '../../src/mass/mass.ts';
import { readMass } from '../../src/mass/text.ts';

export interface Glance {
  /** `ADD`, `STOP`, `READY`. */
  readonly headline: string;
  /** The sentence beside it. */
  readonly say: string;
  /** Number of the draw at hand; null in a step; undefined where it is not told. */
  readonly draw: number | null | undefined;
  /** What has gone in or was taken out; undefined when no number may be shown. */
  readonly net: Mass | undefined;
  /** What the scale shows. */
  readonly gross: Mass | undefined;
  readonly atRest: boolean;
  readonly text: string;
}

const HEADLINE = /^ {1,3}([A-Z][A-Z ?!]*[A-Z?!]) {2,}(\S.*)$/;
const NUMBERS = /\bon \w+ (---|-?[\d.]+ g)/;

/** Reads a whole screen. Undefined while it shows nothing of the kind. */
export function glanceAt(screen: string): Glance | undefined {
  const lines = screen.split('\n');
  const at = lines.findIndex((line) => HEADLINE.test(line));
  const [, headline = '', first = ''] = HEADLINE.exec(lines[at] ?? '') ?? [];
  if (headline === '') return undefined;
  const more = lines[at + 1] ?? '';
  // A sentence that goes on stands right below its first half.
  const goesOn = more.startsWith(' '.repeat(headline.length + 4)) ? ` ${more.trim()}` : '';
  const numbers = lines.find((line) => NUMBERS.test(line)) ?? '';
  return {
    headline,
    say: first.trim() + goesOn,
    // While everything is looked out it stands there who weighs.
    draw: headline === 'GATHER' ? undefined : (numberIn(/\bdraw (\d+) of \d+/.exec(screen)) ?? null),
    net: grams(/\b(?:added|taken) (-?[\d.]+) g/.exec(numbers)),
    gross: grams(/\bon \w+ (-?[\d.]+) g/.exec(numbers)),
    atRest: /\bsettled\b/.test(numbers),
    text: screen,
  };
}

function numberIn(found: RegExpExecArray | null): number | undefined {
  return found?.[1] === undefined ? undefined : Number(found[1]);
}

function grams(found: RegExpExecArray | null): Mass | undefined {
  return found?.[1] === undefined ? undefined : readMass(found[1], 'g');
}
