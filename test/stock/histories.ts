/**
 * Random histories of a workshop's stock, and beside each what truly lies in the jars by a book of its own: a list of
 * what was done to each jar, from which what was taken back is struck out. It knows nothing of how facts are counted.
 */
import fc from 'fast-check';
import type { Happened } from '../../src/facts/fact.ts';
import { type Mass, mass, minus, ZERO } from '../../src/mass/mass.ts';
import { aDraw, aPlan, dye, g, oil, weighing } from '../weighing/samplePlan.ts';

/** One line of the book. `to`: the jar was empty, whatever was in it. */
interface Line {
  readonly seq: number;
  readonly by?: number;
  readonly to?: number;
}

export interface Book {
  readonly lines: Map<string, Line[]>;
}

export const jarOf = (ingredient: string, lot: string) => `${ingredient}|${lot}`;

/** What is in a jar. */
export function inJar(book: Book, jar: string, opening: number): number {
  return (book.lines.get(jar) ?? []).reduce((left, { by, to }) => (to === undefined ? left + (by ?? 0) : to), opening);
}

const A = aDraw('A1', { ingredient: 'flour', lot: 'F-1', otherLots: [{ id: 'F-2', onHand: g(400) }] });
const B = { ...dye, ingredient: 'dye', lot: 'D-1' };
const C = { ...oil, ingredient: 'oil', lot: 'O-1' };
export const plan = aPlan([A, B, C]);
const draws = [A, B, C] as const;

export const OPENING: Readonly<Record<string, Mass>> = {
  [jarOf('flour', 'F-1')]: g(300),
  [jarOf('flour', 'F-2')]: g(400),
  [jarOf('dye', 'D-1')]: g(20),
  [jarOf('oil', 'O-1')]: g(50),
};

const amount = fc.integer({ min: 1, max: 60_000_000 }).map((ug) => mass(ug));

type Deed =
  | { readonly do: 'begin' | 'undo' | 'rescue' | 'finish' }
  | { readonly do: 'weigh'; readonly which: number; readonly net: Mass; readonly back: Mass; readonly ended: boolean }
  | { readonly do: 'discard' | 'give-up'; readonly which: number; readonly net: Mass }
  | { readonly do: 'split'; readonly net: Mass; readonly nothing: boolean }
  | { readonly do: 'receive'; readonly net: Mass }
  | { readonly do: 'take'; readonly jar: number; readonly net: Mass };

const which = fc.integer({ min: 0, max: 2 });
export const deeds: fc.Arbitrary<Deed[]> = fc.array(
  fc.oneof(
    {
      weight: 2,
      arbitrary: fc.constantFrom({ do: 'begin' as const }, { do: 'rescue' as const }, { do: 'finish' as const }),
    },
    { weight: 3, arbitrary: fc.constant({ do: 'undo' as const }) },
    {
      weight: 6,
      arbitrary: fc.record({
        do: fc.constant('weigh' as const),
        which,
        net: amount,
        back: fc.oneof(fc.constant(ZERO), amount),
        ended: fc.boolean(),
      }),
    },
    {
      weight: 3,
      arbitrary: fc.record({ do: fc.constantFrom('discard' as const, 'give-up' as const), which, net: amount }),
    },
    { weight: 1, arbitrary: fc.record({ do: fc.constant('split' as const), net: amount, nothing: fc.boolean() }) },
    { weight: 1, arbitrary: fc.record({ do: fc.constant('receive' as const), net: amount }) },
    {
      weight: 1,
      arbitrary: fc.record({ do: fc.constant('take' as const), jar: fc.integer({ min: 0, max: 3 }), net: amount }),
    },
  ),
  { minLength: 1, maxLength: 40 },
);

export interface Workbook {
  /** Writes facts and tells the place of the first. */
  readonly write: (batch: string, happened: readonly Happened[]) => Promise<number>;
  /** What the program says is in a jar. */
  readonly left: (jar: string) => Mass;
}

/** Does it all, through the program's own log, and keeps the book beside it. */
export async function live(all: readonly Deed[], { write, left }: Workbook): Promise<Book> {
  const lines = new Map<string, Line[]>();
  const put = (jar: string, line: Line) => lines.set(jar, [...(lines.get(jar) ?? []), line]);
  let batch = 0;
  let received = 0;
  let splits = 0;
  // Draws that were accepted and are in the batch, and what could still be taken back.
  let accepted = new Set<string>();
  let last: { readonly seq: number; readonly draw: string; readonly before: Set<string> } | undefined;
  const id = () => `b-${batch}`;
  const begin = async () => {
    batch += 1;
    accepted = new Set();
    last = undefined;
    await write(id(), [{ kind: 'batch-started', plan }]);
  };
  await begin();
  for (const deed of all) {
    const undoable = last;
    if (deed.do !== 'receive' && deed.do !== 'take') last = undefined;
    switch (deed.do) {
      case 'begin':
        await begin();
        break;
      case 'finish':
        await write(id(), [{ kind: 'finished' }]);
        await begin();
        break;
      case 'weigh': {
        const draw = draws[deed.which] ?? A;
        const happened = weighing(draw, g(300), deed.net, { takenBack: deed.back, lotEnded: deed.ended });
        const seq = await write(id(), [happened]);
        const gone = deed.net + (draw.way === 'subtract' ? 0 : deed.back);
        const jar = jarOf(draw.ingredient, draw.lot);
        put(jar, deed.ended ? { seq, to: 0 } : { seq, by: -gone });
        last = { seq, draw: draw.id, before: new Set(accepted) };
        accepted.add(draw.id);
        break;
      }
      case 'undo':
        if (!undoable) break;
        await write(id(), [{ kind: 'undone', corrects: undoable.seq, of: 'weighed', id: undoable.draw, how: 'key' }]);
        for (const [jar, each] of lines)
          lines.set(
            jar,
            each.filter(({ seq }) => seq !== undoable.seq),
          );
        accepted = undoable.before;
        break;
      case 'discard': {
        const { id: draw, ingredient, lot } = draws[deed.which] ?? A;
        const seq = await write(id(), [{ kind: 'discarded', draw, lot, amount: deed.net, reason: 'fell down' }]);
        if (!accepted.delete(draw)) put(jarOf(ingredient, lot), { seq, by: -deed.net });
        break;
      }
      case 'give-up': {
        const { id: draw } = draws[deed.which] ?? A;
        await write(id(), [{ kind: 'given-up', vessel: 'bowl', draws: [draw], reason: 'burnt' }]);
        accepted.delete(draw);
        break;
      }
      case 'split': {
        splits += 1;
        const rest = { ...A, id: `A1+${splits}`, lot: 'F-2' };
        const base = { kind: 'split', draw: 'A1', why: 'lot-ended', rest, newVessel: null } as const;
        const first = weighing(A, g(300), deed.net, { lotEnded: true });
        const seq = await write(
          id(),
          deed.nothing ? [{ ...base, nothingYet: true }] : [{ ...base, nothingYet: false }, first],
        );
        put(jarOf('flour', 'F-1'), { seq, to: 0 });
        if (!deed.nothing) accepted.add('A1');
        // The rest is weighed at once, out of the other lot.
        const next = await write(id(), [weighing(rest, g(300), deed.net)]);
        put(jarOf('flour', 'F-2'), { seq: next, by: -deed.net });
        break;
      }
      case 'rescue': {
        const from = { mass: plan.mass, bars: null };
        await write(id(), [{ kind: 'rescued', draw: null, meant: 'exact', from, plan, topUps: [], say: 'more of it' }]);
        break;
      }
      case 'receive': {
        received += 1;
        const lot = `R-${received}`;
        const more = { pricePerKg: '4.20', expires: null, supplierLot: null, certificate: null, jar: null };
        const seq = await write('stock', [
          { kind: 'lot-received', ingredient: 'flour', lot, amount: deed.net, ...more },
        ]);
        put(jarOf('flour', lot), { seq, by: deed.net });
        break;
      }
      case 'take': {
        const jar = Object.keys(OPENING)[deed.jar] ?? jarOf('flour', 'F-1');
        const [ingredient = '', lot = ''] = jar.split('|');
        const book = left(jar);
        const seq = await write('stock', [
          {
            kind: 'stock-taken',
            ingredient,
            lot,
            gross: deed.net,
            tare: ZERO,
            scale: null,
            found: deed.net,
            book,
            difference: minus(deed.net, book),
            reason: 'weighed',
          },
        ]);
        // What the jar holds was seen: whatever was believed before, that is in it; later undoings move it on.
        put(jar, { seq, by: deed.net - book });
        break;
      }
    }
  }
  return { lines };
}
