/** One view of every mood, from our own scenario, for looking at and for comparing. */
import { mass } from '../../src/mass/mass.ts';
import { printMass } from '../../src/mass/text.ts';
import { withCue } from '../../src/screen/fill/cue.ts';
import { type BenchView, type LiveView, NO_LIVE } from '../../src/screen/view.ts';
import type { Cue } from '../../src/signal/cue.ts';

const grams = (value: number) => mass(Math.round(value * 1e6));

const base = {
  title: 'Cornflower & oat cleansing bar 3, batch 2026-11-25-1',
  detail: [],
  cautions: [],
  choices: [],
  done: [
    { name: 'Cocoa butter, wafers', net: '37.2 g' },
    { name: 'Vitamin E', net: '3.71 g' },
    { name: 'Purified water', net: '34.2 g' },
    { name: 'Glycerin', net: '55.6 g' },
  ],
  next: [
    'Blue dye powder 0.742 g',
    'Red dye stock, 1 % 2.227 g',
    'Whisk until no specks are seen',
    'Oat protein 27.8 g',
  ],
} as const;

/** A live view of a draw: what the signal would say at this net weight. */
export function drawLive(
  net: number,
  more: Partial<LiveView> & { target: number; low: number; high: number; d: number },
): LiveView {
  const { target, low, high, d, ...rest } = more;
  const decimals = d >= 0.1 ? 1 : 2;
  const tare = d >= 0.1 ? 248.5 : 31.46;
  return {
    state: 'moving',
    fresh: true,
    scaleName: d >= 0.1 ? 'bench scale' : 'fine scale',
    way: 'add',
    unit: 'g',
    remaining: printMass(grams(target - net), { decimals }),
    net: printMass(grams(net), { decimals }),
    gross: printMass(grams(net + tare), { decimals }),
    refused: 0,
    lane: { net: grams(net), low: grams(low), target: grams(target), high: grams(high), d: grams(d) },
    ...rest,
  };
}

export const GLUCOSIDE = { target: 167.01, low: 163.7, high: 170.3, d: 0.1 };
export const BLUE_DYE = { target: 0.742, low: 0.71, high: 0.77, d: 0.01, way: 'subtract' } as const;
export const LAVENDER = { target: 11.134, low: 10.58, high: 11.35, d: 0.01, way: 'cup' } as const;

const RUNS_ON = 'About 1.4 g runs on after a stop: learnt from 7 pours.';

const pouring: BenchView = {
  ...base,
  mood: 'pour',
  where: 'B liquids, draw 10 of 22',
  headline: 'ADD',
  say: 'Decyl glucoside into the liquids beaker.',
  detail: ['Lot DG-771. Goes into: liquids beaker.', 'It foams: pour slowly down the side.'],
};

/** A pour of glucoside with a cue, and where it would end. */
function landing(net: number, cue: Cue, at: number): LiveView {
  const live = drawLive(net, { ...GLUCOSIDE, cue, landing: at.toFixed(1) });
  return { ...live, lane: live.lane && { ...live.lane, landing: grams(at) } };
}

export interface Scene {
  readonly view: BenchView;
  readonly live: LiveView;
}

export const SCENES: Readonly<Record<string, Scene>> = {
  gather: {
    view: {
      ...base,
      mood: 'gather',
      where: '24 bars, 1855.7 g',
      headline: 'GATHER',
      say: 'Put all of this within reach, then go on.',
      detail: ['Expired and left out: OP-12. SA-88 will not last: SA-91 as well.'],
      cautions: [
        'Surfactant powder flies as soon as the tub is opened: mask on before, and follow the supplier safety data sheet.',
      ],
      choices: [
        { key: 'Enter', label: 'all is here' },
        { key: 'Esc', label: 'not now' },
      ],
      done: [],
      next: ['Melt jug on the bench scale'],
      list: [
        { heading: 'Vessels' },
        { name: 'Melt jug, steel', amount: '296.4 g' },
        { name: 'Liquids beaker, glass', amount: '158.3 g' },
        { name: 'Powders tub, plastic', amount: '118.2 g' },
        { name: 'Mixing bowl, steel', amount: '912.0 g' },
        { name: 'Dosing cup, glass', amount: '31.46 g' },
        { heading: 'A melt' },
        { name: 'Cetearyl alcohol, flakes', note: 'CA-2207', amount: '92.8 g' },
        { name: 'Glyceryl stearate, flakes', note: 'GS-118', amount: '55.7 g' },
        { name: 'Shea butter, refined, chunks', note: 'SH-45B', amount: '74.2 g' },
        { name: 'Cocoa butter, wafers', note: 'CB-09', amount: '37.1 g' },
        { name: 'Vitamin E', note: 'VE-3', amount: '3.71 g' },
        { heading: 'B liquids' },
        { name: 'Purified water', note: 'PW-day', amount: '34.1 g' },
        { name: 'Glycerin', note: 'GL-30', amount: '55.7 g' },
        { name: 'Blue dye powder', note: 'BD-7', amount: '0.74 g' },
        { name: 'Red dye stock, 1 %', note: 'RS-03', amount: '2.23 g' },
        { name: 'Decyl glucoside, 50 % active', note: 'DG-771', amount: '167.0 g' },
        { name: 'Oat protein, hydrolysed', note: 'OP-15', amount: '27.8 g' },
        { heading: 'C powders' },
        { name: 'Tapioca starch', note: 'TS-5', amount: '74.2 g' },
        { name: 'Corn starch', note: 'CS-2', amount: '92.8 g' },
        { name: 'Colloidal oatmeal', note: 'OM-19', amount: '55.7 g' },
        { name: 'Cornflower petals', note: 'PT-1', amount: '5.57 g' },
        { heading: 'D surfactants' },
        { name: 'Sulfoacetate powder', note: 'SA-88', amount: '512.0 g' },
        { name: 'Sulfoacetate powder', note: 'SA-91', amount: '341.6 g' },
        { name: 'Sulfosuccinate powder', note: 'SU-14', amount: '181.9 g' },
        { heading: 'E cool-down' },
        { name: 'Preservative blend (90:10)', note: 'PX-8', amount: '18.56 g' },
        { name: 'Lavender oil', note: 'LV-6', amount: '11.13 g' },
        { name: 'Cedarwood oil', note: 'CW-2', amount: '3.71 g' },
        { name: 'Lactic acid, 80 %', note: 'LA-1', amount: '7.42 g' },
      ],
    },
    live: NO_LIVE,
  },
  place: {
    view: {
      ...base,
      mood: 'place',
      where: 'B liquids, draw 10 of 22',
      headline: 'PLACE',
      say: 'Put the liquids beaker on the bench scale.',
      detail: ['For decyl glucoside, lot DG-771, 167.0 g.'],
    },
    live: {
      ...NO_LIVE,
      state: 'settled',
      fresh: true,
      scaleName: 'bench scale',
      gross: '0.0',
    },
  },
  pour: {
    view: {
      ...base,
      mood: 'pour',
      where: 'B liquids, draw 10 of 22',
      headline: 'POUR',
      say: 'Pour decyl glucoside into the liquids beaker.',
      detail: ['Liquids beaker on the bench scale. Lot DG-771.', 'It foams: pour slowly down the side.'],
      foot: 'Demo hand: space pours, s spoons, d drips, b takes back, v puts the vessel on or lifts it',
    },
    live: drawLive(152.6, { ...GLUCOSIDE, flow: '6.2 g/s' }),
  },
  'pour, eased': {
    view: withCue(pouring, { cue: 'ease', tooMuch: false, learnt: RUNS_ON }),
    live: landing(152.6, 'ease', 162.3),
  },
  'pour, stop before the band': {
    view: withCue(pouring, { cue: 'stop', tooMuch: false, learnt: RUNS_ON }),
    live: landing(163.4, 'stop', 166.9),
  },
  'pour, last spoon': {
    view: {
      ...base,
      mood: 'pour',
      where: 'B liquids, draw 11 of 22',
      headline: 'SPOON OUT',
      say: 'Spoon blue dye powder out of its jar. Read the number only with the spoon away.',
      detail: ['Dye jar, without its lid, on the fine scale. Lot BD-7.'],
      cautions: ['It stains skin and cloth: gloves on.'],
      elsewhere: 'The bench scale carries 12.4 g that belongs to no draw.',
    },
    live: drawLive(0.65, { ...BLUE_DYE, state: 'settled' }),
  },
  'in-band': {
    view: {
      ...base,
      mood: 'in-band',
      where: 'B liquids, draw 10 of 22',
      headline: 'WAIT',
      say: 'Enough. Hands off: it is written down as soon as it has stood still.',
      detail: ['Liquids beaker on the bench scale. Lot DG-771.'],
      choices: [{ key: 'Enter', label: 'take it as it is' }],
    },
    live: drawLive(166.2, { ...GLUCOSIDE, state: 'settled' }),
  },
  hold: {
    view: {
      ...base,
      mood: 'hold',
      where: 'E cool-down, draw 20 of 22',
      headline: 'TAKE OUT',
      say: 'Too much lavender oil is in the cup: take out at least 0.31 g with the pipette.',
      detail: ['Dosing cup on the fine scale. Lot LV-6.', 'What is taken out does not go back into the bottle.'],
      cautions: ['Essential oils: gloves on, air moving, away from flames.'],
      choices: [
        { key: 'Enter', label: 'it is taken out' },
        { key: 'd', label: 'throw the cup away and begin this draw again' },
        { key: 'g', label: 'give the whole vessel up' },
        { key: 'Esc', label: 'stop here for now' },
      ],
    },
    live: drawLive(11.66, { ...LAVENDER, state: 'settled' }),
  },
  blind: {
    view: {
      ...base,
      mood: 'blind',
      where: 'B liquids, draw 10 of 22',
      headline: 'STOP',
      say: 'The bench scale is silent. Stop pouring and leave the beaker where it is.',
      detail: ['Last seen with 152.6 g in. Is the scale on, is its cable in?', 'The batch goes on from the same gram.'],
    },
    live: drawLive(152.6, { ...GLUCOSIDE, state: 'silent', fresh: false, refused: 3 }),
  },
  tip: {
    view: {
      ...base,
      mood: 'tip',
      where: 'E cool-down, draw 20 of 22',
      headline: 'TIP',
      say: 'Tip the cup into the mixing bowl, then put it back on the fine scale.',
      detail: ['11.16 g of lavender oil are in the cup. What stays in it is weighed.'],
    },
    live: { ...NO_LIVE, state: 'settled', fresh: true, scaleName: 'fine scale', gross: '31.52' },
  },
  step: {
    view: {
      ...base,
      mood: 'step',
      where: 'A melt, step 2 of 3',
      headline: 'MELT',
      say: 'Heat the melt jug for 30 seconds, then stir.',
      detail: ['Burst 2 of at most 8, until 72 C and clear.'],
      cautions: ['The melt burns the skin: no lid, dry tools, hold the jug by its handle.'],
      choices: [
        { key: 'Enter', label: 'next burst' },
        { key: 'e', label: 'clear, it is done' },
      ],
      timer: { startedAt: 0, forMs: 30_000 },
    },
    live: NO_LIVE,
  },
  'step without a time': {
    view: {
      ...base,
      mood: 'step',
      where: 'D surfactants, step 1 of 4',
      headline: 'COMBINE',
      say: 'Sift the powders tub over the mixing bowl and mix dry.',
      choices: [{ key: 'Enter', label: 'done' }],
    },
    live: NO_LIVE,
  },
  saved: {
    view: {
      ...base,
      mood: 'saved',
      where: 'B liquids, draw 10 of 22',
      headline: 'SAVED',
      say: 'Decyl glucoside is written down.',
      detail: ['Uncertainty 0.13 g.'],
      done: [...base.done, { name: 'Decyl glucoside, 50 % active', net: '166.2 g' }],
    },
    live: drawLive(166.2, { ...GLUCOSIDE, state: 'settled' }),
  },
  keyed: {
    view: {
      ...base,
      mood: 'pour',
      where: 'B liquids, draw 10 of 22',
      headline: 'POUR',
      say: 'Pour decyl glucoside into the liquids beaker, up to 415.5 g on the old scale.',
      detail: ['The old scale has no cable. Lot DG-771.'],
      ask: { prompt: 'What does the old scale show, in g?', kind: 'number' },
    },
    live: { ...NO_LIVE, scaleName: 'old scale' },
  },
  trouble: {
    view: {
      ...base,
      mood: 'trouble',
      where: 'B liquids, draw 10 of 22',
      headline: 'LIFT',
      say: 'That is not the liquids beaker: 6.2 g heavier. Lift it off.',
      detail: ['It weighs as the powders tub does, with 46.3 g in it.'],
      choices: [{ key: 'y', label: 'it is the right one, it only weighs otherwise today' }],
    },
    live: { ...NO_LIVE, state: 'settled', fresh: true, scaleName: 'bench scale', gross: '164.5' },
  },
  done: {
    view: {
      ...base,
      mood: 'done',
      where: '22 draws, 1855.5 g',
      headline: 'DONE',
      say: 'The batch is complete and written down.',
      detail: ['Record: bismar record 2026-11-25-1'],
      choices: [{ key: 'Enter', label: 'close' }],
      next: [],
    },
    live: NO_LIVE,
  },
};
