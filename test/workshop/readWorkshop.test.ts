import { describe, expect, it } from 'vitest';
import { mass } from '../../src/mass/mass.ts';
import { printProblems } from '../../src/workshop/problems.ts';
import { isScaleInterval, readWorkshop } from '../../src/workshop/readWorkshop.ts';
import { demo, demoFormula, drawsOf, fixture, planOf } from '../plan/fixtures.ts';

const G = 1_000_000;

/** A workshop that is right; each test makes one thing of it wrong. */
const SOUND = `
name: Sound
operators: [Ann]
scales:
  bench:
    capacity: 5 kg
    d: 0.1 g
    port: /dev/ttyUSB0
    profile: status-first
  fine:
    capacity: 200 g
    d: 0.01 g
    keyed: yes
vessels:
  bowl:
    name: Bowl
    tare: 912.0 g
    usable: 4.8 l
ingredients:
  water:
    name: Water
    inci: Aqua
    lots:
      W-1:
        on hand: 2 kg
        expires: 2027-01-31
`;

function problemsIn(from: string | RegExp, to: string) {
  const text = SOUND.replace(from, to);
  if (text === SOUND) throw new Error(`nothing to replace: ${from}`);
  const read = readWorkshop('workshop.yaml', text);
  if (read.ok) throw new Error('expected problems');
  return read.problems;
}

describe('a workshop file', () => {
  it('gives the workshop in whole micrograms, milliseconds and millilitres', () => {
    expect([...demo.scales.values()]).toEqual([
      {
        id: 'bench',
        capacity: 5000 * G,
        d: 0.1 * G,
        repeatability: 0.05 * G,
        permissibleError: 0.2 * G,
        port: 'demo:bench',
        profile: 'status-first',
        dwellMs: 1500,
        sleepsAfterMs: undefined,
      },
      {
        id: 'fine',
        capacity: 200 * G,
        d: 0.01 * G,
        repeatability: 0.004 * G,
        accuracyClass: 'II',
        port: 'demo:fine',
        profile: 'unit-when-settled',
        dwellMs: 1500,
        sleepsAfterMs: 180_000,
      },
    ]);
    expect(demo.checkWeights).toEqual([
      { nominal: 1000 * G, weightClass: 'M1' },
      { nominal: 50 * G, weightClass: 'M1' },
    ]);
    expect(demo.ingredients.size).toBe(21);
    expect(demo.vessels.get('melt-jug')).toMatchObject({ tare: 296.4 * G, usableMl: 800 });
    expect(demo.ingredients.get('blue-dye')?.lots).toEqual([
      { id: 'BD-7', onHand: 27.4 * G, expires: '2028-10-25', pricePerKg: 180, jar: 'dye-jar' },
    ]);
    // The dye jar stands on the pan with its 27.4 g at 63.18 g.
    expect((demo.vessels.get('dye-jar')?.tare ?? 0) + 27.4 * G).toBe(63.18 * G);
  });

  it('costs what the scenario says: 24.67 a batch, at the prices of its lots', () => {
    const cost = drawsOf(planOf(demo, demoFormula)).reduce((sum, { ingredient, lot, target }) => {
      const price = demo.ingredients.get(ingredient)?.lots.find(({ id }) => id === lot)?.pricePerKg;
      return sum + ((price ?? Number.NaN) * target) / 1e9;
    }, 0);
    expect(cost).toBeCloseTo(24.67, 2);
  });

  it('with many faults tells them all, each with its place', () => {
    const read = readWorkshop('many-faults.yaml', fixture('workshops/many-faults.yaml'));
    if (read.ok) throw new Error('expected problems');
    expect(printProblems(read.problems)).toMatchInlineSnapshot(`
      "many-faults.yaml:3:1  operators
          found an empty list, expected at least one entry
      many-faults.yaml:6:15  scales.bench.capacity
          found \`5000\`, expected a mass such as \`5 kg\`
      many-faults.yaml:7:8  scales.bench.d
          found \`0.3 g\`, expected 1, 2 or 5 times a power of ten, such as \`0.1 g\` or \`0.02 g\`
      many-faults.yaml:9:5  scales.bench.profle
          found the key \`profle\`, expected one of the keys \`capacity\`, \`d\`, \`repeatability\`, \`class\`, \`e\`, \`permissible error\`, \`port\`, \`profile\`, \`adapter\`, \`keyed\`, \`unit\`, \`rhythm\`, \`lines per second\`, \`dwell\`, \`sleeps after\` (did you mean \`profile\`?)
      many-faults.yaml:10:3  scales.Fine
          found the key \`Fine\`, expected a short name of small letters, digits and \`-\`, such as \`melt-jug\`
      many-faults.yaml:16:11  vessels.jug.name
          found \`Jug\`, expected a name of at most 60 characters, all of them visible
      many-faults.yaml:17:11  vessels.jug.tare
          found \`-5 g\`, expected a mass above zero, such as \`296.4 g\`
      many-faults.yaml:18:13  vessels.jug.usable
          found \`800 g\`, expected a volume such as \`800 ml\` or \`1.2 l\`
      many-faults.yaml:20:3  ingredients.dye.inci
          found nothing, expected the INCI name or names, at most 200 characters
      many-faults.yaml:22:14  ingredients.dye.density
          found \`50 g/ml\`, expected a density of 0.01 to 25 g/ml
      many-faults.yaml:26:18  ingredients.dye.lots.BD/7.expires
          found \`2027-02-30\`, expected a day such as \`2027-01-31\`
      many-faults.yaml:29:7
          found \`BD/8:\`, expected each key once"
    `);
  });

  it('is read with any line ends and a byte order mark', () => {
    expect(readWorkshop('w.yaml', `\uFEFF${SOUND.replaceAll('\n', '\r\n')}`).ok).toBe(true);
  });

  it.each([
    ['a capacity below d', '5 kg', '0.05 g', 'more than the scale interval `d`'],
    ['a capacity of nothing', '5 kg', '0 g', 'a mass above zero'],
    ['a mass without a unit', '0.1 g', '0.1', 'a mass such as `0.1 g`'],
    ['an unknown unit', '0.1 g', '0.1 stone', 'a mass such as `0.1 g`'],
    ['an interval of 0.3 g', '0.1 g', '0.3 g', '1, 2 or 5 times a power of ten'],
    ['no port', / {4}port.*\n/, '', '`hid:` for a USB scale; or `keyed: yes`'],
    ['no profile', / {4}profile.*\n/, '', 'the name of its wire profile, or `keyed: yes`'],
    ['a port of a keyed scale', 'keyed: yes', 'keyed: yes\n    port: COM3', 'no port for a scale that is `keyed: yes`'],
    ['keyed: maybe', 'keyed: yes', 'keyed: maybe', '`yes` or `no`'],
    ['one port for two scales', 'keyed: yes', 'port: /dev/ttyUSB0\n    profile: status-first', 'a port of its own'],
    ['a dwell of a day', 'd: 0.1 g', 'd: 0.1 g\n    dwell: 24 h', 'a time of 0.2 s to 1 min'],
    [
      'a repeatability of a pound',
      'd: 0.1 g',
      'd: 0.1 g\n    repeatability: 1 lb',
      'less than a hundredth of the capacity',
    ],
    ['an unknown accuracy class', 'd: 0.1 g', 'd: 0.1 g\n    class: 2', 'an accuracy class as marked on the scale'],
    ['a class with too few intervals for the scale', 'd: 0.1 g', 'd: 0.1 g\n    class: III', 'a class that fits'],
    ['an e without a class', 'd: 0.1 g', 'd: 0.1 g\n    e: 1 g', 'a `class` beside it'],
    ['an e below d', 'd: 0.1 g', 'd: 0.1 g\n    class: II\n    e: 0.05 g', 'not less than `d`'],
    ['an e of twenty d', 'd: 0.1 g', 'd: 0.1 g\n    class: III\n    e: 2 g', 'at most ten times `d`'],
    [
      'a permissible error of 1 kg',
      'd: 0.1 g',
      'd: 0.1 g\n    permissible error: 1 kg',
      'less than a tenth of the capacity',
    ],
    [
      'a check weight of 150 g',
      'vessels:',
      'check weights:\n  - {nominal: 150 g, class: M1}\nvessels:',
      '1, 2 or 5 times a power of ten',
    ],
    [
      'a check weight without a class',
      'vessels:',
      'check weights:\n  - nominal: 100 g\nvessels:',
      'a class as its box or certificate says it',
    ],
    ['a vessel heavier than any scale takes', '912.0 g', '6 kg', "lighter than the largest scale's capacity, 5000 g"],
    ['a volume of nothing', '4.8 l', '0 ml', 'a volume above zero'],
    ['a mass as a volume', '4.8 l', '4.8 kg', 'a volume such as `800 ml` or `1.2 l`'],
    ['a day that is not in the calendar', '2027-01-31', '2027-02-29', 'a day such as `2027-01-31`'],
    ['less than nothing on hand', 'on hand: 2 kg', 'on hand: -1 g', 'a mass above zero'],
    ['an unknown jar', 'on hand: 2 kg', 'on hand: 2 kg\n        jar: bowls', 'one of the vessels'],
    ['a density of 50', 'inci: Aqua', 'inci: Aqua\n    density: 50 g/ml', 'a density of 0.01 to 25 g/ml'],
    ['a lot code that is a formula', 'W-1:', '"=HYPERLINK(1)":', 'a lot code such as `CA-2207`'],
    ['a name with a bell in it', 'name: Water', 'name: "Wa\\ater"', 'all of them visible'],
    ['a name that hides a turn of direction', 'name: Water', 'name: "Wa\\u202eter"', 'all of them visible'],
    ['an id with blanks', '  water:', '  pure water:', 'a short name of small letters'],
    ['an id of digits', '  water:', '  123:', 'a short name of small letters'],
    ['nobody to weigh', '[Ann]', '[]', 'at least one entry'],
    ['no ingredients at all', /ingredients:[\s\S]*/, '', 'a group of keys'],
  ])('refuses %s with a sentence', (_, from, to, expected) => {
    const problems = problemsIn(from, to);
    expect(problems.map((problem) => problem.expected).join('; ')).toContain(expected);
    for (const { line, column, file } of problems) {
      expect(file).toBe('workshop.yaml');
      expect(line).toBeGreaterThan(0);
      expect(column).toBeGreaterThan(0);
    }
  });

  it('says the nearest vessel for a jar that is not known, and who else is in a jar', () => {
    const lots = 'W-1:\n        on hand: 2 kg\n        jar: bwol\n';
    expect(problemsIn(/W-1:\n.*\n/, lots)).toMatchObject([{ hint: 'did you mean `bowl`?', line: 26, column: 14 }]);
    const two =
      'W-2:\n        on hand: 1 kg\n        jar: bowl\n      W-1:\n        on hand: 2 kg\n        jar: bowl\n';
    expect(problemsIn(/W-1:\n.*\n/, two)).toMatchObject([
      { expected: 'a jar of its own', hint: '`W-2` is in this one' },
    ]);
  });

  it('takes class and e as they are marked on the scale, and needs no check weights', () => {
    const read = readWorkshop(
      'w.yaml',
      SOUND.replace('d: 0.01 g', 'd: 0.01 g\n    class: II\n    e: 0.1 g').replace('200 g', '600 g'),
    );
    if (!read.ok) throw new Error(printProblems(read.problems));
    expect(read.workshop.scales.get('fine')).toMatchObject({ accuracyClass: 'II', e: 0.1 * G });
    expect(read.workshop.checkWeights).toEqual([]);
  });

  it('takes no text for a number: a lot 007 stays 007', () => {
    const read = readWorkshop('w.yaml', SOUND.replace('W-1:', '007:'));
    if (!read.ok) throw new Error(printProblems(read.problems));
    expect(read.workshop.ingredients.get('water')?.lots[0]?.id).toBe('007');
  });
});

describe('a scale interval', () => {
  it.each([1, 2, 5, 10, 20, 50, 100_000, 2_000_000])('may be %d ug', (d) => {
    expect(isScaleInterval(mass(d))).toBe(true);
  });
  it.each([0, -1, 3, 25, 110, 101, 150_000])('may not be %d ug', (d) => {
    expect(isScaleInterval(mass(d))).toBe(false);
  });
});
