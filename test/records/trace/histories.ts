/**
 * Random histories of a workshop that makes stock solutions, and beside each a book of what truly went into every batch.
 * The book is kept forward in time, as a maker would: each stock gets its composition written down when it is made. It
 * knows nothing of facts.
 */
import fc from 'fast-check';
import { stateOf } from '../../../src/facts/apply.ts';
import type { Happened } from '../../../src/facts/fact.ts';
import { type Mass, mass, ZERO } from '../../../src/mass/mass.ts';
import type { Plan, PlannedDraw } from '../../../src/plan/model.ts';
import type { BatchLog } from '../../../src/records/batchLog.ts';
import { aDraw, aPlan, g, placing, weighing } from '../../weighing/samplePlan.ts';

/** All the ways in which one draw of a batch may go. */
const WAYS = [
  'not begun',
  'plain',
  'some back out',
  'cup',
  'cup never tipped',
  'spoon thrown away',
  'cup thrown away',
  'undone and on',
  'undone and left',
  'undone, other lot',
  'too much, left',
  'put on, left',
  'vessel given up',
  'undone, then vessel given up',
  'split',
  'rescued',
] as const;

export interface DrawDeed {
  readonly way: (typeof WAYS)[number];
  readonly lot: number;
  readonly other: number;
  readonly net: Mass;
  readonly more: Mass;
}

export interface BatchDeed {
  readonly draws: readonly DrawDeed[];
  readonly end: 'finished' | 'abandoned' | 'open';
  /** How its content becomes a lot, if it does. */
  readonly made: 'told' | 'by its name' | 'no';
}

const amount = fc.integer({ min: 1_000, max: 60_000_000 }).map((ug) => mass(ug));
const drawDeed = fc.record({
  way: fc.constantFrom(...WAYS),
  lot: fc.nat({ max: 99 }),
  other: fc.nat({ max: 99 }),
  net: amount,
  more: amount,
});
export const histories = fc.array(
  fc.record({
    draws: fc.array(drawDeed, { minLength: 1, maxLength: 4 }),
    end: fc.constantFrom('finished' as const, 'finished' as const, 'abandoned' as const, 'open' as const),
    made: fc.constantFrom('told' as const, 'by its name' as const, 'no' as const),
  }),
  { minLength: 1, maxLength: 6 },
);

export interface Name {
  readonly ingredient: string;
  readonly lot: string;
}
export const keyOf = ({ ingredient, lot }: Name) => `${ingredient}|${lot}`;

/** What is in something: micrograms, and whether it is there for sure. */
export type Content = Map<string, { amount: number; sure: boolean }>;

export interface Book {
  readonly lots: readonly Name[];
  readonly batches: ReadonlyMap<string, Content>;
}

const BOUGHT: readonly Name[] = [
  { ingredient: 'water', lot: 'W-1' },
  { ingredient: 'water', lot: 'W-2' },
  { ingredient: 'dye', lot: 'D-1' },
  { ingredient: 'oil', lot: 'W-1' }, // numbered alike by another supplier
];

/** Does it all through the program's own log, and keeps the book beside it. */
export async function live(deeds: readonly BatchDeed[], log: BatchLog): Promise<Book> {
  const lots: Name[] = [...BOUGHT];
  /** What a gram of each lot is made of, itself included. */
  const made = new Map<string, Map<string, { share: number; sure: boolean }>>();
  for (const lot of BOUGHT) made.set(keyOf(lot), new Map([[keyOf(lot), { share: 1, sure: true }]]));
  const batches = new Map<string, Content>();
  for (const [number, deed] of deeds.entries()) {
    const id = `b-${number + 1}`;
    const into: { lot: Name; amount: number; sure: boolean }[] = [];
    const put = (lot: Name, amount: number, sure: boolean) => into.push({ lot, amount, sure });
    await doBatch(log, id, deed, lots, put);
    const content: Content = new Map();
    for (const { lot, amount, sure } of into) {
      for (const [key, part] of made.get(keyOf(lot)) ?? []) {
        const before = content.get(key) ?? { amount: 0, sure: false };
        content.set(key, { amount: before.amount + amount * part.share, sure: before.sure || (sure && part.sure) });
      }
    }
    batches.set(id, content);
    if (deed.made === 'no') continue;
    const stock = { ingredient: `stock-${number + 1}`, lot: deed.made === 'told' ? `S-${number + 1}` : id };
    const papers = { pricePerKg: null, expires: null, supplierLot: null, certificate: null, jar: null };
    const madeIn = deed.made === 'told' ? { madeIn: id } : {};
    await log.append('stock', 'Someone', [{ kind: 'lot-received', ...stock, amount: g(100), ...papers, ...madeIn }]);
    const whole = into.reduce((sum, each) => sum + each.amount, 0);
    const parts = new Map([[keyOf(stock), { share: 1, sure: true }]]);
    for (const [key, { amount, sure }] of content) parts.set(key, { share: whole > 0 ? amount / whole : 0, sure });
    made.set(keyOf(stock), parts);
    lots.push(stock);
  }
  return { lots, batches };
}

async function doBatch(
  log: BatchLog,
  id: string,
  { draws, end }: BatchDeed,
  lots: readonly Name[],
  put: (lot: Name, amount: number, sure: boolean) => void,
): Promise<void> {
  const pick = (at: number) => lots[at % lots.length] ?? (lots[0] as Name);
  const planned = draws.map((deed, at): PlannedDraw => {
    const cup = deed.way === 'cup' || deed.way === 'cup never tipped' || deed.way === 'cup thrown away';
    const where = cup ? ({ way: 'cup', on: `cup${at}` } as const) : { on: `vessel${at}` };
    return aDraw(`A${at}`, { ...pick(deed.lot), name: pick(deed.lot).ingredient, vessel: `vessel${at}`, ...where });
  });
  const names = ['bowl', ...draws.flatMap((_, at) => [`vessel${at}`, `cup${at}`])];
  const plan: Plan = aPlan(planned, {
    formula: { id: `stock-${id.slice(2)}`, name: 'Sample', version: '1' },
    vessels: Object.fromEntries([...names, 'beaker'].map((name) => [name, { id: name, name, tare: g(300) }])),
  });
  const write = async (...happened: Happened[]) => (await log.append(id, 'Someone', happened))[0]?.seq ?? 0;
  await write({ kind: 'batch-started', plan });
  for (const [at, deed] of draws.entries()) {
    const draw = planned[at];
    if (draw) await doDraw(log, id, deed, draw, pick(deed.other), write, put);
  }
  if (end === 'finished') await write({ kind: 'finished' });
  if (end === 'abandoned') await write({ kind: 'abandoned', reason: 'enough for today' });
}

async function doDraw(
  log: BatchLog,
  batch: string,
  { way, net, more }: DrawDeed,
  draw: PlannedDraw,
  other: Name,
  write: (...happened: Happened[]) => Promise<number>,
  put: (lot: Name, amount: number, sure: boolean) => void,
): Promise<void> {
  const on = placing(draw, g(300));
  const weighed = (of: Mass, change = {}) => weighing(draw, g(300), of, change);
  const undo = (corrects: number) => write({ kind: 'undone', corrects, of: 'weighed', id: draw.id, how: 'key' });
  const tip = (residue: Mass): Happened => ({
    kind: 'tipped',
    draw: draw.id,
    vessel: draw.vessel,
    residue,
    deviation: null,
  });
  const throwAway = (of: Mass): Happened => {
    return { kind: 'discarded', draw: draw.id, lot: draw.lot, amount: of, reason: 'fell down' };
  };
  const giveUp = (draws: string[]): Happened => ({ kind: 'given-up', vessel: draw.vessel, draws, reason: 'burnt' });
  const rest: PlannedDraw = { ...draw, id: `${draw.id}+2`, ingredient: other.ingredient, lot: other.lot };
  const split = (nothingYet: boolean): Happened => {
    return { kind: 'split', draw: draw.id, why: 'lot-ended', nothingYet, rest, newVessel: null };
  };
  if (way === 'not begun') return;
  await write(on);
  switch (way) {
    case 'plain':
      await write(weighed(net));
      return put(draw, net, true);
    case 'some back out':
      await write(
        { kind: 'held', draw: draw.id, net: mass(net + more), over: more },
        weighed(net, { takenBack: more }),
      );
      return put(draw, net, true);
    case 'cup': {
      const stays = mass(Math.min(net, more) / 2 - ((Math.min(net, more) / 2) % 1));
      await write(weighed(net), tip(stays));
      return put(draw, net - stays, true);
    }
    case 'cup never tipped':
      await write(weighed(net));
      return put(draw, net, false);
    case 'spoon thrown away':
      await write(throwAway(more), on, weighed(net));
      return put(draw, net, true);
    case 'cup thrown away':
      await write(weighed(more), throwAway(more), on, weighed(net), tip(ZERO));
      return put(draw, net, true);
    case 'undone and on':
      await undo(await write(weighed(net)));
      await write(weighed(mass(net + more)));
      return put(draw, net + more, true);
    case 'undone and left':
      await undo(await write(weighed(net)));
      return put(draw, net, false);
    case 'undone, other lot':
      await undo(await write(weighed(net)));
      await write(split(true), weighing(rest, g(300), more));
      put(draw, net, false);
      return put(rest, more, true);
    case 'too much, left':
      await write({ kind: 'held', draw: draw.id, net, over: more });
      return put(draw, net, false);
    case 'put on, left':
      return put(draw, 0, false);
    case 'vessel given up':
      await write(weighed(more), giveUp([draw.id]), on, weighed(net));
      return put(draw, net, true);
    case 'undone, then vessel given up':
      await undo(await write(weighed(more)));
      await write(giveUp([]));
      // The draw is open, and what it begins from is not known to be in its vessel any more; it was put on again.
      await write(on, weighed(net));
      return put(draw, net, true);
    case 'split':
      await write(split(false), weighed(net, { lotEnded: true }), weighing(rest, g(300), more));
      put(draw, net, true);
      return put(rest, more, true);
    case 'rescued': {
      await write(weighed(net));
      const { plan } = stateOf(log.facts(batch));
      const from = { mass: plan.mass, bars: null };
      const larger = { ...plan, tasks: [...plan.tasks, rest] };
      await write({
        kind: 'rescued',
        draw: null,
        meant: 'exact',
        from,
        plan: larger,
        topUps: [rest.id],
        say: 'a larger batch',
      });
      await write(placing(rest, g(300)), weighing(rest, g(300), more));
      put(draw, net, true);
      return put(rest, more, true);
    }
  }
}
