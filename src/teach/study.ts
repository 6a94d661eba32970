/** All findings, in order; each needs the ones before it. */
import { bounded } from './bytes.ts';
import { type FramingFound, findFraming } from './findFraming.ts';
import { findRest } from './findRest.ts';
import { findRhythm } from './findRhythm.ts';
import { findUnit } from './findUnit.ts';
import { type Display, displaysOf, findWeight } from './findWeight.ts';
import { findLayout } from './layout.ts';
import type { Evidence } from './model.ts';
import type { Findings } from './profileFile.ts';
import { findReadings } from './readingsHeard.ts';
import type { WireUnit } from './shownNumber.ts';
import { type Mark, type TakenApart, takeApart } from './takenApart.ts';

/** Where the study ended for want of something. */
export type Gap =
  | 'silent'
  | 'no framing'
  | 'several lines'
  | 'no numbers'
  | 'no display'
  | 'disagree'
  | 'several weights'
  | 'too few loads'
  | 'no unit'
  | 'units differ'
  | 'odd texts';

export type Study =
  | {
      readonly ok: true;
      readonly findings: Findings;
      readonly framing: FramingFound;
      readonly leftOut: number;
      readonly untested: readonly string[];
    }
  | {
      readonly ok: false;
      readonly gap: Gap;
      readonly framing: FramingFound | undefined;
      readonly disagree: readonly Display[];
    };

const MARKS: readonly Mark[] = ['.', ','];

/** What the evidence shows so far. */
export function study(all: Evidence): Study {
  const evidence = bounded(all);
  const { serial, ask, heard } = evidence;
  const missing = (gap: Gap, framing?: FramingFound, disagree: readonly Display[] = []): Study => ({
    ok: false,
    gap,
    framing,
    disagree,
  });
  if (heard.every(({ pieces }) => pieces.length === 0)) return missing('silent');
  const framing = findFraming(heard, serial);
  if (!framing) return missing('no framing');
  const found = findReadings(framing.framing, serial, heard);
  if (!found) return missing('several lines', framing);
  const byMark = MARKS.flatMap((mark): (readonly [Mark, readonly TakenApart[]])[] => {
    const apart = takeApart(found.readings, mark);
    return apart ? [[mark, apart]] : [];
  });
  if (byMark.length === 0) return missing('no numbers', framing);
  if (displaysOf(heard).length === 0) return missing('no display', framing);
  const weight = findWeight(byMark, heard);
  if (weight.kind === 'none') return missing('disagree', framing, weight.disagree);
  if (weight.kind === 'several') return missing('several weights', framing);
  const { displays } = weight.found;
  if (differentLoads(displays) < 2) return missing('too few loads', framing);
  const units = new Set(displays.flatMap((display) => (display.unit ? [display.unit] : [])));
  if (units.size > 1) return missing('units differ', framing);
  const [unit]: Iterable<WireUnit> & WireUnit[] = [...units];
  if (unit === undefined) return missing('no unit', framing);
  const layout = findLayout(weight.found);
  if (!layout) return missing('odd texts', framing);
  const rest = findRest(layout);
  return {
    ok: true,
    untested: rest?.untested ?? [],
    framing,
    leftOut: found.readings.length - layout.readings.length,
    findings: {
      serial,
      ask,
      framing: framing.framing,
      linesPerReading: found.linesPerReading,
      weight: weight.found,
      layout,
      unit,
      unitWord: findUnit(layout, unit),
      rest: rest?.isSafe ? rest : undefined,
      rhythm: findRhythm(evidence, found.readings),
    },
  };
}

/** How many loads, other than none, the display agreed with. */
function differentLoads(displays: readonly Display[]): number {
  const sizes = displays.map(({ number: { digits, scale } }) => `${digits < 0n ? -digits : digits}/${scale}`);
  return new Set(sizes.filter((size) => !size.startsWith('0/'))).size;
}
