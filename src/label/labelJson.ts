/** A label's sheet for other programs. Masses are text in grams and shares text in percent, so that no digit is lost. */
import { exactGrams } from '../mass/text.ts';
import type { LabelSheet, PlaceList } from './labelSheet.ts';

function percent(ppm: number): string {
  return (ppm / 10_000).toFixed(4);
}

function listJson({ text, rows }: PlaceList) {
  return {
    text,
    rows: rows.map(({ name, group, ppm, counted, from }) => ({ name, group, percent: percent(ppm), counted, from })),
  };
}

/** Plain data. All rows with `counted: true` add up to 100.0000. */
export function labelJson({ formula, basis, batch, mass, use, EU, US, net, levels, notes }: LabelSheet) {
  return {
    formula: formula.id,
    name: formula.name,
    version: formula.version,
    basis,
    batch,
    mass_g: mass === null ? null : exactGrams(mass),
    use: use ?? null,
    lists: { eu: listJson(EU), us: listJson(US) },
    net_contents: net && { eu: net.EU, us: net.US, needed_in_eu: net.neededInEU },
    limits: levels.map(({ names, ppm, mostPpm, dryingPpm, why, over }) => ({
      of: names,
      percent: percent(ppm),
      most_percent: percent(mostPpm),
      dried_percent: percent(dryingPpm),
      over,
      why,
    })),
    notes,
  };
}
