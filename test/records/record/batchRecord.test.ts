import fc from 'fast-check';
import { expect, test } from 'vitest';
import type { Happened } from '../../../src/facts/fact.ts';
import { mass, minus, plus, sumOf, ZERO } from '../../../src/mass/mass.ts';
import { batchRecord } from '../../../src/records/record/batchRecord.ts';
import { recordData, recordJson } from '../../../src/records/record/recordJson.ts';
import { g, planned, sampleHappened, samplePlan, sealed, weighed } from '../sampleFacts.ts';

const seal = { seq: 36, hash: 'ab'.repeat(32) };

function recordOf(happened: readonly Happened[]) {
  return batchRecord(sealed(happened), seal);
}

const start: Happened = { kind: 'batch-started', plan: samplePlan };
const sample = recordOf(sampleHappened());
const draw = (id: string) => sample.draws.find((each) => each.draw === id);

test('three masses are kept apart: what left the lot, what was weighed, what reached the vessel', () => {
  // add, with 4.3 g scooped back out: it is waste, and the lot pays for it
  expect(draw('A2')).toMatchObject({ taken: g(78.8), net: g(74.5), bowl: g(74.5) });
  // cup, 0.16 g stayed in it
  expect(draw('B1')).toMatchObject({ taken: g(2.25), net: g(2.25), bowl: g(2.09), residue: g(0.16) });
  // subtract, 0.07 g put back into the jar: they never left the lot
  expect(draw('B2')).toMatchObject({ taken: g(0.75), net: g(0.75), bowl: g(0.75) });
});

test('a cup that is not tipped has put nothing into the vessel yet', () => {
  const open = recordOf([start, weighed('E1', g(18.55))]);
  expect(open.draws[0]).toMatchObject({ net: g(18.55), bowl: null });
  expect(open.totals).toMatchObject({ net: g(18.55), bowl: ZERO, target: ZERO, difference: ZERO });
  expect(recordData(open).draws[0]).toMatchObject({ bowl_g: null, notes: ['the cup is not tipped yet'] });
});

test('draws stand in the order of weighing; those of a given-up vessel stand apart', () => {
  expect(sample.draws.map((each) => each.draw)).toEqual(['A1', 'A2', 'B1', 'B2', 'D1.1', 'D1.2', 'E1', 'E2']);
  expect(sample.givenUp).toMatchObject([{ draw: 'B1', net: g(2.23), givenUpFor: 'the beaker fell over' }]);
  expect(sample.discarded).toMatchObject([{ draw: 'B1', lot: 'RS-03', amount: g(2.9) }]);
});

test('a lot pays for everything that left it', () => {
  const lot = (id: string) => sample.lots.find((each) => each.lot === id);
  // thrown away 2.90, given up 2.23, kept 2.25 of which 0.16 stayed in the cup
  expect(lot('RS-03')).toEqual({
    lot: 'RS-03',
    ingredient: 'red-stock',
    taken: g(7.38),
    bowl: g(2.09),
    waste: g(5.29),
    ended: false,
  });
  expect(lot('SH-45B')).toMatchObject({ taken: g(78.8), bowl: g(74.5), waste: g(4.3) });
  expect(lot('SA-88')).toMatchObject({ taken: g(509.6), ended: true });
  expect(lot('BD-7')).toMatchObject({ taken: g(0.75), waste: ZERO });
});

test('lots of two ingredients that are numbered alike are kept apart', () => {
  const { lots } = recordOf([start, weighed('A1', g(55), { lot: '1' }), weighed('A2', g(74), { lot: '1' })]);
  expect(lots).toMatchObject([
    { lot: '1', ingredient: 'glyceryl-stearate', taken: g(55) },
    { lot: '1', ingredient: 'shea', taken: g(74) },
  ]);
});

test('totals of the whole sample, worked out by hand', () => {
  // 55.4 + 74.5 + 2.25 + 0.75 + 509.6 + 343.9 + 18.55 + 11.42
  expect(sample.totals.net).toBe(g(1016.37));
  // less 0.16 and 0.11 in cups
  expect(sample.totals.bowl).toBe(g(1016.1));
  expect(sample.totals.target).toBe(samplePlan.mass);
  expect(sample.totals.difference).toBe(g(-0.017));
  // plus 4.3 scooped back, 2.9 thrown away, 2.23 given up
  expect(sample.totals.taken).toBe(g(1025.8));
  expect(sample.totals.waste).toBe(g(9.7));
});

test('whatever happens to the draws: what left the lots is in the batch, in untipped cups, or waste', () => {
  const ids = ['A1', 'A2', 'B1', 'B2', 'E1', 'E2'];
  const amount = fc.integer({ min: 0, max: 2_000_000_000 }).map((ug) => mass(ug));
  const id = fc.constantFrom(...ids);
  const happening: fc.Arbitrary<Happened> = fc.oneof(
    fc.tuple(id, amount, amount).map(([of, net, takenBack]) => weighed(of, net, { takenBack })),
    fc.tuple(id, amount).map(([of, residue]): Happened => {
      return { kind: 'tipped', draw: of, vessel: planned(of).vessel, residue, deviation: null };
    }),
    fc.tuple(id, amount).map(([of, thrown]): Happened => {
      return { kind: 'discarded', draw: of, lot: planned(of).lot, amount: thrown, reason: 'spilt' };
    }),
    fc.subarray(ids).map((draws): Happened => ({ kind: 'given-up', vessel: 'V1', draws, reason: 'fell' })),
  );
  fc.assert(
    fc.property(fc.array(happening, { maxLength: 25 }), (happened) => {
      const { draws, givenUp, discarded, lots, totals } = recordOf([start, ...happened]);
      const inCups = sumOf(draws.map((each) => (each.bowl === null ? each.net : ZERO)));
      expect(totals.taken).toBe(plus(totals.bowl, inCups, totals.waste));
      const rows = [...draws, ...givenUp].map((each) => each.taken);
      expect(totals.taken).toBe(sumOf([...rows, ...discarded.map((each) => each.amount)]));
      expect(totals.difference).toBe(minus(totals.bowl, totals.target));
      for (const lot of lots) expect(lot.taken).toBeGreaterThanOrEqual(lot.bowl);
      expect(new Set(draws.map((each) => each.draw)).size).toBe(draws.length);
    }),
  );
});

test('an accepted cup that was thrown away is counted once', () => {
  const record = recordOf([
    start,
    weighed('B1', g(2.2), { takenBack: g(0.3) }),
    { kind: 'discarded', draw: 'B1', lot: 'RS-03', amount: g(2.2), reason: 'a fly' },
    weighed('B1', g(2.25)),
    { kind: 'tipped', draw: 'B1', vessel: 'V2', residue: ZERO, deviation: null },
  ]);
  expect(record.draws).toMatchObject([{ draw: 'B1', net: g(2.25) }]);
  expect(record.givenUp).toMatchObject([{ draw: 'B1', taken: g(0.3), givenUpFor: 'a fly' }]);
  expect(record.lots).toMatchObject([{ lot: 'RS-03', taken: g(4.75), waste: g(2.5), bowl: g(2.25) }]);
});

test('over-pours are told with how they ended', () => {
  expect(sample.overPours).toMatchObject([
    { draw: 'A2', net: g(78.8), over: g(3.1), end: 'taken back' },
    { draw: 'B2', net: g(0.82), over: g(0.05), end: 'taken back' },
  ]);
  const held = (id: string, net: number): Happened => ({ kind: 'held', draw: id, net: g(net), over: g(net - 1) });
  const ends = recordOf([
    start,
    held('A1', 60),
    held('A1', 58), // some taken back, still too much: the same over-pour
    weighed('A1', g(58), { deviation: { kind: 'over', reason: 'fine' } }),
    held('B1', 3),
    { kind: 'discarded', draw: 'B1', lot: 'RS-03', amount: g(3), reason: 'dirty' },
    held('A2', 90),
    { kind: 'given-up', vessel: 'V1', draws: ['A1'], reason: 'fell' },
    held('E1', 20),
  ]).overPours;
  expect(ends).toMatchObject([
    { draw: 'A1', net: g(60), end: 'kept' },
    { draw: 'B1', end: 'thrown away' },
    { draw: 'A2', end: 'vessel given up' },
    { draw: 'E1', end: 'open' },
  ]);
});

test('everything otherwise than planned is a sentence, in its order', () => {
  expect(sample.deviations).toEqual([
    'Melt jug, steel (V1) weighed 296.4 g, otherwise than known; Mara said that it is the right one.',
    'Red dye stock, 1 % (B1): 2.90 g of lot RS-03 thrown away: far too much in the cup.',
    'Liquids beaker, glass (V2) given up with Red dye stock, 1 % (B1): the beaker fell over.',
    'Red dye stock, 1 % (B1): 0.16 g left in the cup, kept by Mara: it clings to the glass.',
    'Lavender oil (E2): 0.12 g over its band, kept by Mara: safety limit is 1.0 %, this is 0.9 %.',
  ]);
});

test('a lot that was empty from the start is told once: all of the draw was its rest', () => {
  const rest = { ...planned('B2'), id: 'B2+2', lot: 'BD-02' };
  const { deviations } = recordOf([
    start,
    { kind: 'split', draw: 'B2', why: 'lot-ended', nothingYet: true, rest, newVessel: null },
    { kind: 'finished' },
  ]);
  const ofB2 = deviations.filter((each) => each.includes('(B2)'));
  expect(ofB2).toEqual([expect.stringContaining('the rest was drawn as B2+2 from lot BD-02')]);
});

test('a weight outside its band without a decision, and a draw that was left out, are not hidden', () => {
  const { deviations } = recordOf([start, weighed('A1', g(60)), weighed('A2', g(70)), { kind: 'finished' }]);
  expect(deviations[0]).toBe(
    'Glyceryl stearate, flakes (A1): 3.3 g over its band, and the log holds no decision on it.',
  );
  expect(deviations[1]).toContain('2.8 g under its band, and the log holds no decision');
  expect(deviations).toContain('Blue dye powder (B2): planned, and not weighed.');
  expect(recordOf([start, weighed('D1.1', g(100), { low: g(500) })]).deviations).toEqual([]); // a lot that ended early
});

test('notes of a draw', () => {
  const json = recordData(sample);
  const notes = (id: string) => json.draws.find((each) => each.draw === id)?.notes;
  expect(notes('A1')).toEqual([]);
  expect(notes('A2')).toEqual(['over-pour caught: 4.3 g taken back out']);
  expect(notes('B2')).toEqual(['over-pour caught: 0.07 g put back into the jar']);
  expect(notes('D1.1')).toEqual(['part 1 of 2', 'lot SA-88 used up']);
  expect(notes('D1.2')).toEqual([
    'keyed by hand from the scale',
    'part 2 of 2',
    'corrected by fact 34, Mara: The lot was SA-92. (label read wrongly)',
  ]);
  expect(notes('E2')).toEqual(['0.12 g over its band, kept by Mara: safety limit is 1.0 %, this is 0.9 %']);
});

test('steps, lost scales, stops and corrections', () => {
  expect(sample.steps).toMatchObject([
    { step: 'A3', kind: 'melt', bursts: 2, begun: expect.stringContaining('10:00:06'), done: expect.any(String) },
    { step: 'D2', kind: 'combine', bursts: 0, begun: null, done: expect.any(String) },
  ]);
  expect(sample.scaleLosses).toMatchObject([{ scale: 'fine', draw: 'B2', back: expect.any(String) }]);
  expect(sample.resumed).toHaveLength(1);
  expect(sample.corrections).toMatchObject([
    { corrects: 27, about: 'Sulfoacetate powder (D1.2), weighed', note: 'The lot was SA-92.' },
  ]);
});

test('how a batch stands', () => {
  expect(sample).toMatchObject({ status: 'finished', operators: ['Mara'], abandonedFor: null });
  expect(recordOf([start])).toMatchObject({ status: 'open', ended: null });
  const abandoned = recordOf([start, { kind: 'abandoned', reason: 'power cut' }]);
  expect(abandoned).toMatchObject({ status: 'abandoned', abandonedFor: 'power cut', ended: expect.any(String) });
  expect(abandoned.deviations).toEqual(['Batch abandoned: power cut.']);
  expect(recordData(abandoned)).toMatchObject({ finished: null, abandoned: { reason: 'power cut' } });
  const two = [...sealed([start]), ...sealed([{ kind: 'gathered' }], { by: 'Jo', from: 2 })];
  expect(batchRecord(two, seal).operators).toEqual(['Mara', 'Jo']);
  expect(() => batchRecord(sealed([{ kind: 'gathered' }]), seal)).toThrow(RangeError);
  expect(() => batchRecord([], seal)).toThrow(RangeError);
});

test('JSON has the promised fields, masses as decimal grams', () => {
  const json = recordData(sample);
  expect(json).toMatchObject({
    batch: '2026-11-25-1',
    formula: 'cornflower-oat',
    version: '3',
    mass_g: '1016.117',
    bars: 12,
    started: '2026-11-25T10:00:00.000+01:00',
    finished: expect.stringMatching(/^2026-11-25T10:00:/),
    last_seq: 36,
    last_hash: seal.hash,
  });
  expect(json.draws[2]).toEqual({
    draw: 'B1',
    ingredient: 'red-stock',
    name: 'Red dye stock, 1 %',
    inci: 'Aqua, Glycerin, CI 17200',
    phase: 'B',
    vessel: 'V2',
    scale: 'fine',
    way: 'cup',
    lot: 'RS-03',
    target_g: '2.227',
    low_g: '2.120',
    high_g: '2.330',
    before_g: '31.460',
    after_g: '33.710',
    taken_g: '2.250',
    net_g: '2.250',
    bowl_g: '2.090',
    residue_g: '0.160',
    stuck_g: '0.000',
    uncertainty_g: '0.014',
    coverage_factor: 2,
    budget_g: { rounding: '0.040825', repeatability: '0.070711', drift: '0.000', check: '0.000' },
    doubt_g: null,
    accepted: 'dwell',
    witness: null,
    trace: null,
    label_read: false,
    at: expect.any(String),
    by: 'Mara',
    notes: expect.any(Array),
  });
  expect(JSON.parse(recordJson(sample))).toEqual(json);
});
