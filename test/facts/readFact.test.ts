import { expect, test } from 'vitest';
import type { Fact, FactKind, Happened } from '../../src/facts/fact.ts';
import type { ToldFact } from '../../src/facts/handOverFacts.ts';
import { checkFact, readFact } from '../../src/facts/readFact.ts';
import { ZERO } from '../../src/mass/mass.ts';
import { g, sampleHappened, samplePlan, sealed, weighed } from '../records/sampleFacts.ts';
import { aDraw, BATCH } from '../weighing/samplePlan.ts';
import { sampleBars } from './sampleBars.ts';

const everyKind: Record<FactKind, true> = {
  'batch-started': true,
  'scales-stand': true,
  'scale-checked': true,
  measured: true,
  gathered: true,
  resumed: true,
  placed: true,
  held: true,
  weighed: true,
  tipped: true,
  discarded: true,
  returned: true,
  'given-up': true,
  rescued: true,
  'zero-shifted': true,
  'step-begun': true,
  'step-done': true,
  undone: true,
  split: true,
  'sum-checked': true,
  'jar-weighed': true,
  'scale-lost': true,
  'scale-back': true,
  'lot-received': true,
  'lot-blocked': true,
  'lot-released': true,
  'stock-taken': true,
  'lot-short': true,
  'lot-confirmed': true,
  corrected: true,
  'portioning-started': true,
  bar: true,
  'bar-pulled': true,
  'bar-pressed': true,
  'left-over': true,
  'portioning-ended': true,
  'bar-weighed-again': true,
  'bar-again-undone': true,
  'handed-over': true,
  'calling-back': true,
  'called-back': true,
  joined: true,
  'join-confirmed': true,
  'brought-in': true,
  finished: true,
  abandoned: true,
};

const checked: Happened = {
  kind: 'scale-checked',
  scale: 'fine',
  basis: 'OIML R 76-1, class II, with 50 g M1',
  rows: [
    { kind: 'zero', nominal: ZERO, shown: ZERO, permissible: g(0.01) },
    { kind: 'weight', nominal: g(50), shown: g(50.01), permissible: g(0.01) },
  ],
  repeatability: g(0.004),
  slopePpm: 360,
  passed: true,
};
const stand: Happened = {
  kind: 'scales-stand',
  scales: {
    bench: { checkedAt: null, passed: null, slopePpm: null, repeatability: null },
    fine: { checkedAt: '2026-11-25T07:55:00.000+01:00', passed: true, slopePpm: 360, repeatability: g(0.004) },
  },
};

const rescued: Happened = {
  kind: 'rescued',
  draw: 'A1',
  meant: 'within bands',
  from: { mass: g(1800), bars: 24 },
  plan: samplePlan,
  topUps: ['A2'],
  say: 'Scale up to 26 bars instead of 24.',
};

const shifted: Happened = { kind: 'zero-shifted', scale: 'bench', shift: g(-0.3), draws: ['A1', 'A2'] };
const back: Happened[] = [
  {
    kind: 'jar-weighed',
    step: 'A1/jar-after',
    draw: 'A1',
    lot: 'L1',
    when: 'after',
    scale: 'fine',
    load: g(80),
    left: g(5.1),
    allowed: g(0.03),
    reason: 'the formula can bear it',
  },
  {
    kind: 'split',
    draw: 'A1',
    why: 'full',
    nothingYet: false,
    rest: aDraw('A1+2', { otherLots: [{ id: 'L2', onHand: g(90) }], witness: true }),
    newVessel: { id: 'bowl+2', name: 'second Bowl', tare: g(300) },
  },
  {
    kind: 'sum-checked',
    step: 'A/sum',
    vessel: 'bowl',
    scale: 'bench',
    expected: g(600),
    found: g(597),
    allowed: g(0.5),
    suspects: [{ what: 'missing', draws: ['A1'] }],
    reason: 'the formula can bear it',
  },
  { kind: 'undone', corrects: 7, of: 'weighed', id: 'A1', how: 'put-back' },
  { kind: 'step-begun', step: 'A3', burst: 1, how: 'lifted' },
  {
    kind: 'step-done',
    step: 'B2',
    bursts: 0,
    how: 'put-on',
    weighedBack: { vessel: 'beaker', scale: 'bench', load: g(151.2), residue: g(1.2), uncertainty: g(0.16) },
  },
];

const ofLot = { ingredient: 'shea', lot: 'SH-45B' };
const lots: Happened[] = [
  {
    ...ofLot,
    kind: 'lot-received',
    amount: g(1000),
    pricePerKg: '11.50',
    expires: '2027-02-28',
    supplierLot: 'L0042',
    certificate: 'shea-2026.pdf',
    jar: null,
  },
  { ...ofLot, kind: 'lot-blocked', reason: 'smells old' },
  { ...ofLot, kind: 'lot-released', reason: 'the supplier tested it' },
  {
    ...ofLot,
    kind: 'stock-taken',
    gross: g(1035),
    tare: g(36),
    scale: null,
    found: g(999),
    book: g(1000),
    difference: g(-1),
    reason: 'weighed',
  },
  { ...ofLot, kind: 'lot-short', draw: 'A2', book: g(70), short: g(4.2) },
  { ...ofLot, kind: 'returned', draw: 'A2', amount: g(7), to: 'jar' },
  { ...ofLot, kind: 'lot-confirmed', draws: ['A2'], label: '(10)L0042' },
];

const dyeRoom = '0b8e5a4e-3c86-4b8f-9a53-0c6d4a1f7e55';
const seal = { seq: 12, hash: '3f9a'.repeat(16) };
const benches: Happened[] = [
  { kind: 'handed-over', number: 1, phases: ['C'], to: 'dye_room' },
  { kind: 'calling-back', number: 1 },
  { kind: 'called-back', number: 1, reason: 'their tub fell down' },
  { kind: 'joined', bench: dyeRoom, role: 'wet_room', of: '2026-11-25-1', number: 1, seal },
  { kind: 'join-confirmed' },
  {
    kind: 'brought-in',
    number: 1,
    bench: dyeRoom,
    role: 'dye_room',
    part: BATCH,
    seal,
    facts: sealed([{ kind: 'batch-started', plan: samplePlan }, { kind: 'finished' }]) as readonly ToldFact[],
  },
];

const sample = sealed([
  ...benches,
  ...sampleHappened(),
  ...lots,
  stand,
  checked,
  rescued,
  shifted,
  ...back,
  { kind: 'measured', step: 'D2', what: 'pH', value: '5.4' },
  ...sampleBars(),
  { kind: 'bar-again-undone', bar: 1 },
  { kind: 'abandoned', reason: 'a trial only' },
]);

function one(kind: FactKind): Fact {
  const fact = sample.find((each) => each.kind === kind);
  if (!fact) throw new Error(`the sample has no ${kind}`);
  return fact;
}

test('every kind of fact comes back from its JSON text as it was', () => {
  expect(new Set(sample.map((fact) => fact.kind))).toEqual(new Set(Object.keys(everyKind)));
  for (const fact of sample) expect(readFact(JSON.stringify(fact))).toEqual({ ok: true, fact });
});

test('what newer logs say more of a check and of a weight is read, and an older log that does not say it is too', () => {
  const more: Record<string, object> = {
    'scale-checked': { ...checked, slopeStandardPpm: 120 },
    'scales-stand': {
      ...stand,
      scales: {
        fine: {
          checkedAt: '2026-11-25T07:55:00.000+01:00',
          passed: true,
          slopePpm: 360,
          slopeStandardPpm: 120,
          repeatability: g(0.004),
          weighings: 5,
        },
      },
    },
    weighed: {
      ...weighed('A1', g(55.4)),
      coverage: 2.87,
      trace: { midway: false, ms: [0, 900, 900, 2500], net: [ZERO, g(60.1), g(60.1), g(55.4)] },
    },
  };
  for (const [kind, happened] of Object.entries(more)) {
    const fact = { ...one(kind as FactKind), ...happened };
    expect(readFact(JSON.stringify(fact))).toEqual({ ok: true, fact });
    expect(readFact(JSON.stringify(one(kind as FactKind)))).toMatchObject({ ok: true });
  }
  expect(readFact(JSON.stringify({ ...one('weighed'), coverage: 'two' }))).toMatchObject({ ok: false });
});

test('each field of each kind is needed, and none more is let in', () => {
  for (const kind of Object.keys(everyKind) as FactKind[]) {
    const fact = one(kind);
    for (const field of Object.keys(fact)) {
      const { [field as keyof Fact]: _left, ...rest } = fact;
      expect(checkFact(rest), `${kind} without ${field}`).toMatchObject({ ok: false });
    }
    expect(checkFact({ ...fact, extra: 1 })).toMatchObject({ ok: false, why: expect.stringContaining('extra') });
  }
});

test.each([
  ['a fraction of a microgram', { net: 1.5 }, 'net: '],
  ['text for a mass', { net: '12' }, 'net: expected number, found string'],
  ['a mass past 2^53', { net: 2 ** 53 }, 'net: '],
  ['less than nothing taken back', { takenBack: -1 }, 'takenBack: '],
  ['an unknown way', { way: 'pour' }, 'way: '],
  ['an unknown kind', { kind: 'poured' }, 'kind: '],
  ['a place before the first', { seq: 0 }, 'seq: '],
  ['a time without offset', { at: '2026-11-25T10:00:23.120Z' }, 'at: expected a time such as'],
  ['a budget without a term', { budget: { rounding: 1, repeatability: 1, drift: 0 } }, 'budget.check: '],
  ['a term of less than nothing', { budget: { rounding: 1, repeatability: 1, drift: -1, check: 0 } }, 'budget.drift: '],
  ['a trace of one point', { trace: { midway: false, ms: [0], net: [0] } }, 'trace.ms: '],
  ['a trace with a time too many', { trace: { midway: false, ms: [0, 1, 2], net: [0, 1] } }, 'trace: '],
  ['a trace that runs backwards', { trace: { midway: false, ms: [0, 2, 1], net: [0, 1, 1] } }, 'trace: '],
  ['a deviation of no kind', { deviation: { kind: 'odd', reason: '' } }, 'deviation.kind: '],
])('%s is told', (_what, change, why) => {
  const [fact] = sealed([weighed('A1', g(55.4))]);
  const read = readFact(JSON.stringify({ ...fact, ...change }));
  expect(read).toMatchObject({ ok: false, why: expect.stringContaining(why) });
});

test.each(['', '{', 'null', '[]', '"text"', '12', '{"kind":"weighed"}', '{"__proto__":{"kind":"gathered"}}'])(
  'text that is no fact is told, never thrown: %s',
  (body) => {
    expect(readFact(body)).toMatchObject({ ok: false });
  },
);

test('a plan that names what it does not hold is told with the place', () => {
  const started = (change: object) =>
    checkFact(sealed([{ kind: 'batch-started', plan: { ...samplePlan, ...change } }])[0]);
  const [first, second] = samplePlan.tasks;
  expect(started({})).toMatchObject({ ok: true });
  expect(started({ tasks: [{ ...first, scale: 'constructor' }] })).toMatchObject({
    why: 'plan.tasks.0.scale: the plan has no scale constructor',
  });
  expect(started({ tasks: [{ ...first, on: 'V9' }] })).toMatchObject({
    why: 'plan.tasks.0.on: the plan has no vessel V9',
  });
  expect(started({ tasks: [{ ...first, phase: 'Z' }] })).toMatchObject({ why: expect.stringContaining('no phase Z') });
  expect(started({ tasks: [first, { ...second, id: 'A1' }] })).toMatchObject({
    why: 'plan.tasks.1.id: the id A1 is used twice',
  });
  expect(started({ tasks: [{ ...first, low: g(60) }] })).toMatchObject({
    why: expect.stringContaining('low end of the band'),
  });
});

test('many faults are counted, not listed without end, and hostile text in them is cleaned', () => {
  const read = checkFact({ ...one('gathered'), '\u001b[31mred': 1, '\u202eabc': 2 });
  expect(read.ok ? '' : read.why).not.toMatch(/[\u001b\u202e]/);
  const many = checkFact({ kind: 'weighed' });
  expect(many).toMatchObject({ ok: false, why: expect.stringMatching(/\(and \d+ more\)$/) });
});
