/** What portioning goes by: as asked, as the formula has it, as it was begun; and what is refused. */
import { cpSync, mkdirSync } from 'node:fs';
import { join } from 'node:path';
import { afterEach, describe, expect, it } from 'vitest';
import { loadWorkshop } from '../../../src/cli/folder.ts';
import { type AimOptions, setUpPortion } from '../../../src/cli/portion/portionSetup.ts';
import { contentsOf, judgementData, judgementOf } from '../../../src/cli/records/contents.ts';
import { recordOf } from '../../../src/cli/records/recordPage.ts';
import type { Happened } from '../../../src/facts/fact.ts';
import type { PlannedLabel } from '../../../src/plan/model.ts';
import { type BatchLog, openLog } from '../../../src/records/batchLog.ts';
import { aBar, barsBegin } from '../../facts/sampleBars.ts';
import { g, sampleHappened, samplePlan } from '../../records/sampleFacts.ts';
import { tempFolder } from '../../records/tempFolder.ts';

const logs: BatchLog[] = [];
afterEach(() => {
  for (const log of logs.splice(0)) log.close();
});

async function shop(more: readonly Happened[] = [], earlier: readonly Happened[] = [], label?: PlannedLabel) {
  const folder = tempFolder();
  mkdirSync(join(folder, 'formulas'));
  cpSync('fixtures/demo/formulas', join(folder, 'formulas'), { recursive: true });
  cpSync('fixtures/demo/workshop.yaml', join(folder, 'workshop.yaml'));
  const log = openLog(join(folder, 'batches.db'));
  logs.push(log);
  const formula = { ...samplePlan.formula, id: 'cornflower-oat-bar' };
  const batch = sampleHappened().map((each) =>
    each.kind === 'batch-started' ? { ...each, plan: { ...each.plan, formula, ...(label && { label }) } } : each,
  );
  if (earlier.length > 0) await log.append('A', 'Mara', [...batch, { kind: 'finished' }, ...earlier]);
  await log.append('B', 'Mara', [...batch, { kind: 'finished' }, ...more]);
  const workshop = loadWorkshop(folder);
  const record = () => recordOf(log, 'B');
  return {
    record,
    setUp: (options: Omit<AimOptions, 'in'> = {}) => setUpPortion(log, record(), workshop, { in: folder, ...options }),
    data: () => {
      const { bars, ...rest } = record();
      const judged = judgementOf(log, { bars, ...rest }, workshop, { in: folder });
      return judged && bars && judgementData('B', judged, bars);
    },
    judged: (label?: string) => contentsOf(log, record(), workshop, { in: folder, label }),
  };
}

describe('set-point, band, label and scale', () => {
  it('come from the formula: its bar, 2 % either way, its label; the scale with room that is fine enough', async () => {
    const { setUp } = await shop();
    const { aim, scale, declared, drying, mix } = setUp();
    expect(aim).toEqual({ setPoint: g(75), low: g(73.5), high: g(76.5), label: g(70) });
    expect(scale.id).toBe('bench');
    expect(declared).toEqual({ label: g(70), unit: 'g' });
    expect(drying).toMatchObject({ share: 0.045, from: 'formula' });
    expect(mix).toBe(g(1016.1)); // what reached the vessels, see batchRecord.test.ts
  });

  it('are as asked', async () => {
    const { setUp } = await shop();
    const asked = setUp({ setPoint: '80g', band: '0.5g', label: '2.5oz', scale: 'fine' });
    expect(asked.aim).toMatchObject({ setPoint: g(80), low: g(79.5), high: g(80.5), label: 70_873_808 });
    expect(asked.declared?.unit).toBe('oz');
    expect(asked.scale.id).toBe('fine');
    // A narrower band wants the finer scale.
    expect(setUp({ band: '0.3g' }).scale.id).toBe('fine');
  });

  it('`least` is the smallest that will do', async () => {
    const { setUp } = await shop();
    // Twelve bars planned; the band of the label's weight, 1.4 g, as the spread:
    // (70 + 1.644854 x 1.4 / sqrt(3) / sqrt(12)) / 0.955 = 73.700, and up to the next 0.1 g
    expect(setUp({ setPoint: 'least' }).aim.setPoint).toBe(g(73.8));
    expect((70 + (1.644854 * 1.4) / Math.sqrt(3) / Math.sqrt(12)) / 0.955).toBeGreaterThan(73.7);
  });

  it('go on as they were begun', async () => {
    const begun: Happened = { ...barsBegin, setPoint: g(74), low: g(73), high: g(75), scale: 'fine' } as Happened;
    const { setUp } = await shop([begun, aBar(1, 74.2)]);
    expect(setUp()).toMatchObject({ aim: { setPoint: g(74), low: g(73), high: g(75) }, scale: { id: 'fine' } });
    expect(setUp().mix).toBe(g(450));
  });

  it('learn from other batches of the same formula', async () => {
    const off = [0.2, -0.2, 0.4, -0.4, 0.1, -0.1, 0.3, -0.3, 0, 0.2, -0.2, 0];
    const again: Happened = { kind: 'bar-weighed-again', bar: 1, net: g(71.44), scale: 'bench', uncertainty: g(0.16) };
    const { setUp } = await shop([], [barsBegin, ...off.map((each, index) => aBar(index + 1, 75 + each)), again]);
    const { advice, drying } = setUp();
    expect(advice[0]).toContain('from 12 bars');
    // Weighed again right away: the formula's figure stands.
    expect(drying).toMatchObject({ share: 0.045, from: 'formula' });
  });

  it.each<[Omit<AimOptions, 'in'>, RegExp]>([
    [{ setPoint: '75' }, /--set-point wants a weight with its unit/],
    [{ setPoint: '-5g' }, /--set-point wants/],
    [{ label: 'seventy' }, /--label wants the net weight/],
    [{ band: '0g' }, /--band wants/],
    [{ scale: 'kitchen' }, /Which scale\? There are: bench, fine\./],
    [{ band: '0.05g', scale: 'bench' }, /can not weigh bars of that weight within that band/],
    [{ setPoint: '6kg' }, /can not weigh bars of that weight/],
  ])('%j is refused in words, and nothing is recorded', async (options, why) => {
    const { setUp } = await shop();
    expect(() => setUp(options)).toThrow(why);
    expect(() => setUp(options)).toThrow(/Nothing was recorded\./);
  });
});

describe('what the formula said of the bars when the batch was begun', () => {
  const then: PlannedLabel = { net: { number: '2.5', unit: 'oz' }, use: 'leave-on', dryingPpm: 90_000 };
  const bars = [{ ...barsBegin, label: null } as Happened, ...[75, 75.2, 74.8].map((net, i) => aBar(i + 1, net))];
  const otherwise =
    'The formula says otherwise by now than when the batch was begun (net 70 g, dried 4.5 %). What it said then counts.';

  it('counts, and that it says otherwise by now is told', async () => {
    const { setUp, judged, data } = await shop(bars, [], then);
    const { declared, drying, advice, short } = setUp();
    expect(declared).toEqual({ label: 70_873_808, unit: 'oz' }); // 2.5 x 28.349523125 g, NIST Handbook 44 appendix C
    expect(drying).toMatchObject({ share: 0.09, from: 'formula' });
    expect([advice.at(-1), short.at(-1)]).toEqual([otherwise, otherwise]);
    expect(judged()?.slice(1, 3)).toEqual([otherwise, expect.stringMatching(/^Label 70\.87 g/)]);
    expect(data()).toMatchObject({ label_g: '70.873808', drying: { share: 0.09 } });
  });

  it('is told as far as it counts only', async () => {
    const dried = otherwise.replace('net 70 g, ', '');
    expect((await shop(bars, [], then)).judged('70g')?.[1]).toBe(dried);
    const begun = [{ ...barsBegin, label: g(72) } as Happened, ...bars.slice(1)];
    expect((await shop(begun, [], then)).judged()?.slice(1, 3)).toEqual([dried, expect.stringMatching(/^Label 72/)]);
    expect((await shop(bars, [], { net: { number: '70', unit: 'g' }, dryingPpm: 45_000 })).judged()?.[1]).toMatch(
      /^Label/,
    );
  });

  it('is what it says today in a log of before it was kept, and that is told', async () => {
    const { setUp, judged } = await shop(bars);
    const today = 'Net weight and drying are taken from the formula as it is today.';
    expect([setUp().advice.at(-1), judged()?.[1]]).toEqual([today, today]);
    expect(judged('2.5oz')?.[1]).toBe('Drying is taken from the formula as it is today.');
  });
});

describe('the judgement', () => {
  it('is of the bars of the batch, by the label as asked or as the formula has it', async () => {
    const { judged } = await shop([barsBegin, ...[75, 75.2, 74.8].map((net, index) => aBar(index + 1, net))]);
    expect(judged()?.join('\n')).toMatch(/Label 70\.00 g\. 3 bars.*\nEU, packer's rules: PASSES/);
    expect(judged('72g')?.join('\n')).toMatch(/EU, packer's rules: FAILS/);
    expect(judged()?.at(-1)).toContain('legal-for-trade scale');
  });

  it('says that a lot is not complete, until its bars are ended', async () => {
    const two = [barsBegin, aBar(1, 75), aBar(2, 75.2)];
    const open = await shop(two);
    expect(open.judged()?.[0]).toBe(
      'The lot is NOT COMPLETE: its bars are not ended. 299.8 g of the mix is not weighed off. No verdict below is final.',
    );
    expect(open.data()).toMatchObject({
      complete: false,
      mix_not_weighed_g: '299.800',
      us: { mean_below_label: false },
    });
    const ended = await shop([...two, { kind: 'portioning-ended' }]);
    expect(ended.data()).toMatchObject({ complete: true, bars: 2 });
    expect(ended.judged()?.[1]).toMatch(/^Label 70/);
  });

  it('there is none without bars in the lot', async () => {
    expect((await shop()).judged()).toBeUndefined();
    expect((await shop([barsBegin, aBar(1, 60, 'short')])).judged()).toBeUndefined();
  });
});
