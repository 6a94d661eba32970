/** The text of a fresh workshop's files, with comments that say what to change. */
import { type Mass, mass } from '../mass/mass.ts';
import { printMass } from '../mass/text.ts';
import { shiftDay } from './shiftDates.ts';

export interface NewScale {
  readonly id: string;
  readonly capacity: Mass;
  readonly d: Mass;
  /** `keyed` for a scale with no port, whose display the maker types in. */
  readonly link: { readonly port: string; readonly profile: string } | 'keyed';
}

/** What must be asked to write a workshop. */
export interface NewWorkshop {
  readonly name: string;
  readonly operators: readonly string[];
  readonly scales: readonly NewScale[];
}

export interface NewFile {
  /** Path below the workshop's folder, with `/`. */
  readonly path: string;
  readonly text: string;
}

const GRAM = 1_000_000;

/** What is written when nothing is asked: two scales whose displays are typed in, until their ports are known. */
export const USUAL_WORKSHOP: NewWorkshop = {
  name: 'My workshop',
  operators: ['Maker'],
  scales: [
    { id: 'bench', capacity: mass(5000 * GRAM), d: mass(0.1 * GRAM), link: 'keyed' },
    { id: 'fine', capacity: mass(200 * GRAM), d: mass(0.01 * GRAM), link: 'keyed' },
  ],
};

/** Text in double quotes, as YAML and JSON both read it. */
function quote(text: string): string {
  return JSON.stringify(text);
}

/** Grams without needless zeros: `0.1 g`, `5000 g`. */
function grams(of: Mass): string {
  return `${printMass(of, { decimals: 6 }).replace(/\.?0+$/, '')} g`;
}

function scaleText({ id, capacity, d, link }: NewScale): string {
  const how =
    link === 'keyed'
      ? ['    keyed: yes # no port: its display is typed in. With a port: port: /dev/ttyUSB0 and profile: status-first']
      : [`    port: ${quote(link.port)}`, `    profile: ${quote(link.profile)}`];
  return [`  ${id}:`, `    capacity: ${grams(capacity)}`, `    d: ${grams(d)}`, ...how].join('\n');
}

/** Sizes of the example that the largest scale can carry, in whole grams. */
function exampleSizes(scales: readonly NewScale[]) {
  const capacity = Math.max(...scales.map((scale) => scale.capacity)) / GRAM;
  const part = (share: number) => Math.max(Math.round(capacity * share), 1);
  return { bowl: part(0.15), beaker: part(0.05), batch: part(0.2) };
}

function workshopText({ name, operators, scales }: NewWorkshop, today: string): string {
  const { bowl, beaker, batch } = exampleSizes(scales);
  const nextYear = shiftDay(today, 365);
  const stock = batch * 2;
  return `# A workshop for weighing: who weighs, on what, into what, out of which lots.
# Every amount carries its unit. Names on the left (bench, bowl ...) are your own.
name: ${quote(name)}

operators:
${operators.map((operator) => `  - ${quote(operator)}`).join('\n')}

# d is the step of the display. Where you know the scale's repeatability, add it: repeatability: 0.05 g
# A scale that switches itself off: sleeps after: 180 s
# For \`bismar scale check\`, what its plate or data sheet says: class: II and e: 0.1 g, or permissible error: 0.2 g
scales:
${scales.map(scaleText).join('\n')}

# Weights of known mass to check the scales with, with the class on their box (OIML R 111-1: E2, F1, F2, M1 or M2):
# check weights:
#   - {nominal: 1000 g, class: M1}

# Cues while pouring, aloud: bell, or a program of yours: { run: [PROGRAM, "sounds/{cue}.wav"] }
# cue sound: bell

# Weigh each vessel clean, dry and without a lid, and write it here as tare.
# usable is what it holds with room to stir.
vessels:
  beaker:
    name: Liquids beaker
    tare: ${beaker} g
    usable: ${batch} ml
  bowl:
    name: Mixing bowl
    tare: ${bowl} g
    usable: ${batch * 5} ml

# density is loose, as it lies in the vessel. Leave out what you do not know.
# on hand is what a lot held when you wrote it here; leave it so, what is used is counted by itself.
# Later deliveries: bismar lot receive. The money of price per kg: currency: EUR, on a line of its own above.
# A lot that is weighed by taking out of its own jar names the jar: jar: dye-jar (a vessel).
# For the label, what is more than one substance says its parts, as its supplier states them:
#   made of: [{ inci: Decyl Glucoside, share: 50 % }, { inci: Aqua, share: 50 % }]
# and an oil or perfume its fragrance allergens: allergens: [{ inci: Linalool, share: 30 % }]
ingredients:
  water:
    name: Purified water
    inci: Aqua
    density: 1.00 g/ml
    lots:
      W-1:
        on hand: ${stock} g
        expires: ${shiftDay(today, 7)}
  glycerin:
    name: Glycerin
    inci: Glycerin
    density: 1.26 g/ml
    lots:
      G-1:
        on hand: ${stock} g
        expires: ${nextYear}
        price per kg: 4.50
  surfactant:
    name: Surfactant powder
    inci: Sodium Cocoyl Isethionate
    density: 0.40 g/ml
    cautions:
      - "Fine dust: put the mask on before the tub is opened. Follow the supplier's safety data sheet and local rules."
    lots:
      S-1:
        on hand: ${stock} g
        expires: ${nextYear}
  starch:
    name: Corn starch
    inci: Zea Mays Starch
    density: 0.55 g/ml
    cautions:
      - "Fine dust: mask on, and set the scoop down gently."
    lots:
      C-1:
        on hand: ${stock} g
        expires: ${nextYear}
`;
}

function formulaText(scales: readonly NewScale[]): string {
  const { batch } = exampleSizes(scales);
  return `# An example to weigh for practice, not a product: replace it with your own formula.
name: Practice mix
version: 1
batch: ${batch} g # for bars, write instead: bar: 75 g, bars: 24, loss: 3 %
# label: { net: 70 g, use: rinse-off, dried: 4.5 % } # for the label: net weight, rinse-off or leave-on, loss in drying

cautions:
  - This program is an aid for weighing. Safety data sheets, your own safety assessment and local rules come first.

# Phases in the order of work, each into one vessel. The shares of all draws add up to exactly 100 %.
phases:
  - phase: A
    name: Liquids
    vessel: beaker
    work:
      - draw: water
        share: 10 %
        band: 5 % # or 0.5 g, or {under: 5 %, over: 2 %, at least: 0.2 g}
        over: forgiving # what may happen when too much has gone in: never, ask or forgiving
      - draw: glycerin
        share: 10 %
        band: 5 %
      - mix: Stir until clear.
        for: 1 min

  - phase: B
    name: Powders
    vessel: bowl
    work:
      - draw: surfactant
        share: 56 %
        band: 2 %
        note: Scoop slowly and let the dust settle.
      - draw: starch
        share: 24 %
        band: 2 %
      - combine: Pour the liquids over the powders and knead.
        vessel: beaker
        into: bowl
      - rinse: Wipe the beaker out with a handful of the mass and put it back.
        vessel: beaker
        into: bowl
`;
}

/**
 * The files of a fresh workshop with one formula to practise on, sized for its largest scale.
 * The answers are not checked here: read the text back with `readWorkshop`, which says what is wrong with them.
 * @param today `YYYY-MM-DD`, for the example lots' last days
 */
export function newWorkshop(answers: NewWorkshop, today: string): NewFile[] {
  return [
    { path: 'workshop.yaml', text: workshopText(answers, today) },
    { path: 'formulas/practice-mix.yaml', text: formulaText(answers.scales) },
  ];
}
