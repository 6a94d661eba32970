/** The facts of several benches as one log. */
import fc from 'fast-check';
import { expect, test } from 'vitest';
import { type Happened, STOCK } from '../../../src/facts/fact.ts';
import { FIRST_LINK, link } from '../../../src/records/chain.ts';
import { AcrossBenches } from '../../../src/records/shared/acrossBenches.ts';
import { mergeBenches } from '../../../src/records/shared/mergeBenches.ts';
import type { BenchFacts } from '../../../src/records/shared/readBenches.ts';
import type { LogRow } from '../../../src/records/shared/sharedHistory.ts';
import { stamp } from '../../../src/records/stamp.ts';
import { samplePlan } from '../sampleFacts.ts';

interface Said {
  readonly batch: string;
  readonly happened: Happened;
  /** Seconds after the one before; below 0 where the clock was set back. */
  readonly later: number;
}

/** Goes on from what is there as a bench's own log does. */
function grown(before: readonly LogRow[], said: readonly Said[]): LogRow[] {
  const rows = [...before];
  for (const { batch, happened, later } of said) {
    const last = rows.at(-1);
    const seq = rows.length + 1;
    const time = (last ? Date.parse(last.at) : Date.parse('2026-11-25T09:00:00Z')) + later * 1000;
    const place = { batch, seq, at: stamp(new Date(time), 60), by: 'Mara' };
    const body = JSON.stringify({ ...place, ...happened });
    rows.push({ ...place, kind: happened.kind, body, hash: link(last?.hash ?? FIRST_LINK, body) });
  }
  return rows;
}

const bench = (name: string, rows: readonly LogRow[]): BenchFacts => ({
  bench: `id of ${name}`,
  name,
  rows,
  fault: null,
});

const said: fc.Arbitrary<Said> = fc.record({
  batch: fc.constantFrom('2026-11-25-1', '2026-11-25-2', STOCK),
  happened: fc.oneof(
    fc.constant<Happened>({ kind: 'gathered' }),
    fc.nat(9).map((of): Happened => ({ kind: 'corrected', corrects: of + 1, note: 'so', reason: 'why' })),
  ),
  later: fc.integer({ min: -30, max: 90 }),
});
const some = fc.array(said, { maxLength: 12 });

test('each fact of each bench is there once, in the order of its bench, and names the same fact as before', () => {
  fc.assert(
    fc.property(some, some, some, some, (shared, one, copied, other) => {
      const before = grown([], shared);
      const benches = [
        bench('wet_room', grown(before, one)),
        bench('wet_room-2', grown(before, copied)), // a copy of the folder, which went on by itself
        bench('dye_room', grown([], other)),
      ];
      const merged = [...mergeBenches(benches)];
      const hashes = new Set(benches.flatMap(({ rows }) => rows.map(({ hash }) => hash)));
      expect(merged.map(({ origin }) => origin.own.hash).sort()).toEqual([...hashes].sort());
      expect(merged.map(({ fact }) => fact.seq)).toEqual(merged.map((_, index) => index + 1));
      for (const { name, rows } of benches) {
        const own = merged.filter(({ origin }) => origin.bench === name);
        expect(own.map(({ origin }) => origin.own.seq)).toEqual(
          own.map(({ origin }) => origin.own.seq).sort((a, b) => a - b),
        );
        for (const { fact, origin } of own) {
          if (fact.kind !== 'corrected') continue;
          const meant = rows[(origin.own.corrects ?? 0) - 1];
          const named = merged[fact.corrects - 1];
          // None corrects a later one, or what is not there.
          const isEarlier = meant !== undefined && meant.seq < origin.own.seq;
          expect(named?.origin.own.hash).toBe(isEarlier ? meant.hash : origin.own.hash);
        }
      }
    }),
    { numRuns: 50 },
  );
});

test('a correction in a copied folder names the fact that stands for both', () => {
  const gathered: Said = { batch: STOCK, happened: { kind: 'gathered' }, later: 1 };
  const before = grown([], [gathered, gathered]);
  const correction: Said = { ...gathered, happened: { kind: 'corrected', corrects: 2, note: 'so', reason: 'why' } };
  const [other] = [bench('dye_room', grown([], [{ ...gathered, later: -5 }]))];
  const merged = [
    ...mergeBenches([bench('wet_room', before), bench('wet_room-2', grown(before, [correction])), other as BenchFacts]),
  ];
  const corrected = merged.find(({ fact }) => fact.kind === 'corrected')?.fact;
  const named = corrected?.kind === 'corrected' ? merged[corrected.corrects - 1] : undefined;
  expect(named?.origin).toMatchObject({ bench: 'wet_room', own: { hash: before[1]?.hash } });
});

test('a batch that was begun before its folder was copied goes on under the name of the bench that began it', () => {
  const begun = grown([], [{ batch: 'b', happened: { kind: 'batch-started', plan: samplePlan }, later: 0 }]);
  const more: Said = { batch: 'b', happened: { kind: 'gathered' }, later: 5 };
  const across = new AcrossBenches([
    bench('wet_room', grown(begun, [more])),
    bench('wet_room-2', grown(begun, [{ ...more, later: 7 }])),
  ]);
  expect(across.facts('wet_room/b').map(({ kind }) => kind)).toEqual(['batch-started', 'gathered', 'gathered']);
  expect(across.batches().map(({ id }) => id)).toEqual(['wet_room/b']);
  across.close();
});
