/** An insight as plain text for a terminal: each habit in words with its numbers, and a sparkline beside them. */
import { cutToWidth } from '../../facts/textWidth.ts';
import { type Insight, LEAST, LEAST_CHECKS, LEAST_YIELDS } from '../../insight/learn.ts';
import type { Proposal } from '../../insight/propose.ts';
import { wrapText } from '../../plan/wrapText.ts';
import { cleanAll } from '../cleanAll.ts';
import {
  leftInWords,
  lossInWords,
  pourInWords,
  scaleInWords,
  spanInWords,
  wasteInWords,
  weightInWords,
} from './insightWords.ts';
import { sparkline } from './sparkline.ts';

const LEAST_WIDTH = 80;
/** Of what there is too little of, so many are named; those that lack least come first. */
const MOST_NAMED = 6;

/** @param width columns of the terminal; no line is longer, down to 80 */
export function insightText(insight: Insight, proposals: readonly Proposal[], width = LEAST_WIDTH): string {
  const most = Math.max(width, LEAST_WIDTH);
  const { pours, left, wasted, losses, scales, ...rest } = cleanAll(insight);
  const habit = (name: string, words: string, values: readonly number[]) => [
    ...wrapText(name, '  ', most),
    ...wrapText(`${words} ${sparkline(values)}`, '    ', most),
  ];
  const toldPours = pours.filter(({ error }) => error !== null);
  const toldLeft = left.filter(({ residue }) => residue !== null);
  const lines = [
    ...wrapText(spanInWords({ pours, left, wasted, losses, scales, ...rest }), '', most),
    ...section('Worth a thought:', proposals.map(cleanAll), most),
    ...headed(
      'Pours against their targets, where they first came to rest:',
      toldPours.flatMap((each) => habit(`${each.name}, ${each.by}`, pourInWords(each), each.errors)),
    ),
    ...headed(
      'Stayed in cups and emptied vessels:',
      toldLeft.flatMap((each) =>
        habit(`${each.where} of ${each.what}`.replace('vessel of ', ''), leftInWords(each), each.residues),
      ),
    ),
    ...headed(
      'Left its lot for nothing:',
      wasted.map(({ name, why, times, amount }) => `  ${name}: ${wasteInWords(amount, why, times)}`),
    ),
    ...headed(
      'Lost from mix to bars:',
      losses.filter(({ loss }) => loss !== null).flatMap((each) => habit(each.name, lossInWords(each), each.losses)),
    ),
    ...headed(
      'Daily checks of the scales (what was shown less the weight):',
      scales
        .filter(({ chart }) => chart !== null)
        .flatMap((each) =>
          habit(
            `${each.scale} with ${weightInWords(each.nominal)}`,
            scaleInWords(each),
            each.checks.map(({ error }) => error),
          ),
        ),
    ),
    ...tooFew({ pours, left, wasted, losses, scales, ...rest }, most),
  ];
  return lines.map((line) => cutToWidth(line, most)).join('\n');
}

function headed(title: string, lines: readonly string[]): string[] {
  return lines.length === 0 ? [] : ['', title, ...lines];
}

function section(title: string, proposals: readonly Proposal[], width: number): string[] {
  if (proposals.length === 0) return [];
  return [
    '',
    title,
    ...proposals.flatMap(({ what, say, evidence }) => [
      ...wrapText(`${what}: ${say}`, '  - ', width),
      ...wrapText(`(${evidence})`, '    ', width),
    ]),
  ];
}

/** What nothing can be said of yet, so that nobody looks for it in vain. */
export function tooFewSentences({ pours, left, losses, scales }: Insight): string[] {
  const fewPours = pours.filter(({ error }) => error === null).sort((a, b) => b.pours - a.pours);
  const fewLeft = left.filter(({ residue }) => residue === null).length;
  const fewLosses = losses.filter(({ loss }) => loss === null);
  const fewScales = scales.filter(({ chart }) => chart === null);
  const list = (of: readonly string[]) => {
    const more = of.length - MOST_NAMED;
    return `${of.slice(0, MOST_NAMED).join('; ')}${more > 0 ? `; and ${more} more` : ''}`;
  };
  return [
    ...(fewPours.length > 0
      ? [
          `Pours of one ingredient by one hand, of which ${LEAST} are needed: ${fewPours.length} such pairs, with ${Math.max(...fewPours.map(({ pours: n }) => n))} at most.`,
        ]
      : []),
    ...(fewLeft > 0 ? [`Cups and vessels that were weighed back fewer than ${LEAST} times: ${fewLeft}.`] : []),
    ...(fewLosses.length > 0
      ? [
          `Loss from mix to bars, of which ${LEAST_YIELDS} batches are needed: ${list(fewLosses.map(({ name, batches: n }) => `${name}: ${n}`))}.`,
        ]
      : []),
    ...(fewScales.length > 0
      ? [
          `Checks of scales, of which ${LEAST_CHECKS} with one weight are needed: ${list(fewScales.map(({ scale, nominal, checks }) => `${scale} with ${weightInWords(nominal)}: ${checks.length}`))}.`,
        ]
      : []),
  ];
}

function tooFew(insight: Insight, width: number): string[] {
  const sentences = tooFewSentences(insight);
  if (sentences.length === 0) return [];
  return ['', 'Too few yet to say anything:', ...sentences.flatMap((each) => wrapText(each, '  - ', width))];
}
