/**
 * Reads `workshop.yaml`. Keys are plain lower-case words; every quantity carries its unit, so that none is guessed.
 */
import { z } from 'zod';
import { ACCURACY_CLASSES, fitsClass } from '../accept/accuracyClass.ts';
import { WEIGHT_CLASSES, weightError } from '../accept/checkWeights.ts';
import type { Mass } from '../mass/mass.ts';
import { printMass } from '../mass/text.ts';
import { checkCompositions, compositionKeys, compositionOf } from './composition.ts';
import { readHistoryAddress } from './historyAddress.ts';
import type { Ingredient, Lot, Scale, Vessel, Workshop } from './model.ts';
import { nameHint } from './nearest.ts';
import { clashingPorts } from './portText.ts';
import { type Problem, readYaml } from './problems.ts';
import {
  amount,
  count,
  day,
  density,
  id,
  lotCode,
  massOf,
  nameText,
  percent,
  plainText,
  sentence,
  timeOf,
  volume,
} from './quantities.ts';
import { checkConnection, connectionKeys, connectionOf } from './scaleConnection.ts';

/** How long a settled weight must stand in its band before it is accepted by itself, unless the file says. */
export const USUAL_DWELL_MS = 1500;

/** Scale intervals take the form 1, 2 or 5 times a power of ten (OIML R 76-1). */
export function isScaleInterval(d: Mass): boolean {
  return d > 0 && /^[125]0*$/.test(String(d));
}

const interval = massOf('0.1 g').refine(isScaleInterval, '1, 2 or 5 times a power of ten, such as `0.1 g` or `0.02 g`');

const scale = z
  .strictObject({
    capacity: massOf('5 kg'),
    d: interval,
    repeatability: massOf('0.05 g').optional(),
    class: z.enum(ACCURACY_CLASSES, 'an accuracy class as marked on the scale: I, II, III or IIII').optional(),
    e: interval.optional(),
    'permissible error': massOf('0.2 g').optional(),
    ...connectionKeys,
    dwell: timeOf('1.5 s', 200, 60_000).optional(),
    'sleeps after': timeOf('180 s', 5_000, 86_400_000).optional(),
  })
  .superRefine((entry, context) => {
    const { capacity, d, repeatability } = entry;
    const say = (path: string[], message: string) => context.addIssue({ code: 'custom', path, message });
    if (capacity <= d) say(['capacity'], 'more than the scale interval `d`');
    if (repeatability !== undefined && repeatability * 100 > capacity) {
      say(['repeatability'], 'less than a hundredth of the capacity');
    }
    const { class: accuracyClass, e, 'permissible error': permissible } = entry;
    if (permissible !== undefined && permissible * 10 > capacity) {
      say(['permissible error'], 'less than a tenth of the capacity');
    }
    if (e !== undefined && accuracyClass === undefined) say(['e'], 'a `class` beside it: alone it says nothing');
    if (e !== undefined && (e < d || e > 10 * d)) say(['e'], 'not less than `d`, and at most ten times `d`');
    if (accuracyClass !== undefined && !fitsClass({ accuracyClass, e: e ?? d }, capacity)) {
      say(['class'], 'a class that fits the capacity and `e` (where `e` is not given, it is taken to be `d`)');
    }
    checkConnection(entry, say);
  });

const vessel = z.strictObject({
  name: nameText,
  tare: massOf('296.4 g'),
  usable: volume.optional(),
  count: count(9).optional(),
  note: sentence.optional(),
});

const lot = z.strictObject({
  'on hand': massOf('1480 g', { zero: true }),
  expires: day.optional(),
  'price per kg': amount.optional(),
  jar: id.optional(),
  ...compositionKeys,
});

const HAZARDS = ['dust', 'corrosive', 'flammable', 'sensitiser', 'hot'] as const;

const ingredient = z.strictObject({
  name: nameText,
  inci: plainText('the INCI name or names, at most 200 characters', 200),
  active: percent('50 %', (ppm) => {
    return ppm > 0 && ppm <= 1_000_000 ? undefined : 'a strength above 0 % and at most 100 %';
  }).optional(),
  role: z.enum(['preservative', 'water'], '`preservative` or `water`').optional(),
  density: density.optional(),
  hazards: z.array(z.enum(HAZARDS, `one of ${HAZARDS.join(', ')}`)).optional(),
  form: z.enum(['powder', 'granules', 'liquid', 'molten'], '`powder`, `granules`, `liquid` or `molten`').optional(),
  cautions: z.array(sentence).optional(),
  lots: z.record(lotCode, lot).optional(),
  ...compositionKeys,
});

const checkWeight = z
  .strictObject({
    nominal: massOf('1000 g'),
    class: z.enum(WEIGHT_CLASSES, 'a class as its box or certificate says it: E2, F1, F2, M1 or M2'),
  })
  .refine(({ nominal, class: weightClass }) => weightError({ nominal, weightClass }) !== undefined, {
    error: 'a weight of that class: 1, 2 or 5 times a power of ten, from 1 mg (M2: 100 mg) to 5 kg',
    path: ['nominal'],
  });

const cueSound = z.union(
  [z.literal('off'), z.literal('bell'), z.strictObject({ run: z.array(z.string().min(1).max(500)).min(1).max(20) })],
  '`off`, `bell`, or `{ run: [PROGRAM, ARGUMENT, ...] }`, in which `{cue}` stands for pour, ease, drips or stop',
);

const history = z.string().transform((written, context) => {
  const read = readHistoryAddress(written.trim());
  if (read.ok) return read.address;
  context.addIssue({ code: 'custom', message: read.expected });
  return z.NEVER;
});

const file = z
  .strictObject({
    name: nameText,
    operators: z.array(nameText).min(1),
    scales: z.record(id, scale),
    vessels: z.record(id, vessel),
    ingredients: z.record(id, ingredient),
    'check weights': z.array(checkWeight).optional(),
    currency: plainText('the money that prices are in, such as `EUR`, at most 8 characters', 8).optional(),
    'cue sound': cueSound.optional(),
    'shared history': history.optional(),
  })
  .superRefine((shop, context) => {
    const say = (path: PropertyKey[], message: string, hint?: string) =>
      context.addIssue({ code: 'custom', path, message, ...(hint === undefined ? {} : { params: { hint } }) });

    const largest = Math.max(0, ...Object.values(shop.scales).map(({ capacity }) => capacity));
    if (largest === 0) say(['scales'], 'at least one scale');
    for (const [name, { tare }] of Object.entries(shop.vessels)) {
      if (largest > 0 && tare >= largest) {
        const most = printMass(largest as Mass, { decimals: 0 });
        say(['vessels', name, 'tare'], `a vessel lighter than the largest scale's capacity, ${most} g`);
      }
    }

    for (const [name, other] of clashingPorts(shop.scales)) {
      say(['scales', name, 'port'], 'a port of its own', `\`${other}\` has this one`);
    }

    const jars = new Map<string, string>();
    for (const [name, { lots = {} }] of Object.entries(shop.ingredients)) {
      for (const [code, { jar }] of Object.entries(lots)) {
        if (jar === undefined) continue;
        const path = ['ingredients', name, 'lots', code, 'jar'];
        const other = jars.get(jar);
        if (!Object.hasOwn(shop.vessels, jar)) {
          say(path, 'one of the vessels', nameHint(jar, Object.keys(shop.vessels)));
        } else if (other !== undefined) {
          say(path, 'a jar of its own', `\`${other}\` is in this one`);
        }
        jars.set(jar, code);
      }
    }
    checkCompositions(shop.ingredients, say);
  });

function lotsOf(lots: Readonly<Record<string, z.output<typeof lot>>>): Lot[] {
  return Object.entries(lots).map(([code, entry]) => ({
    id: code,
    onHand: entry['on hand'],
    expires: entry.expires,
    pricePerKg: entry['price per kg'],
    jar: entry.jar,
    ...compositionOf(entry),
  }));
}

function toWorkshop(shop: z.output<typeof file>): Workshop {
  const { name, operators, scales, vessels, ingredients } = shop;
  const scaleOf = (key: string, entry: z.output<typeof scale>): Scale => ({
    id: key,
    capacity: entry.capacity,
    d: entry.d,
    repeatability: entry.repeatability,
    accuracyClass: entry.class,
    e: entry.e,
    permissibleError: entry['permissible error'],
    ...connectionOf(entry),
    dwellMs: entry.dwell ?? USUAL_DWELL_MS,
    sleepsAfterMs: entry['sleeps after'],
  });
  const vesselOf = (key: string, entry: z.output<typeof vessel>): Vessel => ({
    id: key,
    name: entry.name,
    tare: entry.tare,
    usableMl: entry.usable,
    ...(entry.count === undefined ? {} : { count: entry.count }),
    note: entry.note,
  });
  const ingredientOf = (key: string, entry: z.output<typeof ingredient>): Ingredient => ({
    id: key,
    name: entry.name,
    inci: entry.inci,
    active: entry.active,
    role: entry.role,
    density: entry.density,
    lots: lotsOf(entry.lots ?? {}),
    cautions: entry.cautions ?? [],
    ...(entry.hazards === undefined ? {} : { hazards: entry.hazards }),
    ...(entry.form === undefined ? {} : { form: entry.form }),
    ...compositionOf(entry),
  });
  return {
    name,
    operators,
    scales: new Map(Object.entries(scales).map(([key, entry]) => [key, scaleOf(key, entry)])),
    vessels: new Map(Object.entries(vessels).map(([key, entry]) => [key, vesselOf(key, entry)])),
    ingredients: new Map(Object.entries(ingredients).map(([key, entry]) => [key, ingredientOf(key, entry)])),
    cueSound: shop['cue sound'] === 'off' ? undefined : shop['cue sound'],
    currency: shop.currency,
    sharedHistory: shop['shared history'],
    checkWeights: (shop['check weights'] ?? []).map((each) => ({ nominal: each.nominal, weightClass: each.class })),
  };
}

export type WorkshopResult =
  | { readonly ok: true; readonly workshop: Workshop }
  | { readonly ok: false; readonly problems: readonly Problem[] };

/**
 * Reads the text of a `workshop.yaml`. Never throws for bad text: all that is wrong comes back at once.
 * @param name the file's name, for the problems
 */
export function readWorkshop(name: string, text: string): WorkshopResult {
  const read = readYaml(name, text, file, 'text');
  return read.ok ? { ok: true, workshop: toWorkshop(read.value) } : read;
}
