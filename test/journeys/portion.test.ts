/**
 * Bars weighed off on a real serial line: hands-free on the screen, over a kill and a pulled plug; then without a screen
 * to the end, with the judgement; then a marked bar once more.
 */
import { join } from 'node:path';
import { expect, onTestFinished } from 'vitest';
import { mass } from '../../src/mass/mass.ts';
import { openLog } from '../../src/records/batchLog.ts';
import { createHolder, type Holder } from '../../src/simulate/holder.ts';
import { sampleHappened, samplePlan } from '../records/sampleFacts.ts';
import { journey } from './journey.ts';
import { LinedProgram } from './linedProgram.ts';
import { run } from './run.ts';
import { until } from './until.ts';

const g = (grams: number) => mass(Math.round(grams * 1e6));
const BATCH = '2026-11-25-1';

journey('bars are counted by lifting them off, over a kill and a pulled plug, and the lot is judged', async (here) => {
  const { bench, start } = here;
  const log = openLog(join(bench.folder, 'batches.db'));
  const formula = { ...samplePlan.formula, id: 'cornflower-oat-bar' };
  const happened = sampleHappened().map((each) =>
    each.kind === 'batch-started' ? { ...each, plan: { ...each.plan, formula } } : each,
  );
  await log.append(BATCH, 'Mira Tolland', [...happened, { kind: 'finished' }]);
  log.close();

  const pan = bench.world.pan('bench');
  const bars = () => bench.facts().flatMap((fact) => (fact.kind === 'bar' ? [fact] : []));
  const put = (grams: number): Holder => {
    const bar = createHolder('bar', g(grams));
    bench.hand.put(bar, pan);
    return bar;
  };

  let program = start(['portion', BATCH, '--scale', 'bench']);
  await program.waitForText('Put a scoop on the pan.');
  // (70 + 1.644854 x 1.5 / sqrt(3) / sqrt(12)) / (1 - 0.045) = 73.729, to the next 0.1 g
  await program.waitForText('73.8 g would do');
  const weighOff = async (grams: number) => {
    const count = bars().length;
    const bar = put(grams);
    await program.waitForText('Right. Lift it off');
    bench.hand.lift(bar);
    await until(`bar of ${grams} g`, () => bars().length > count);
  };
  await weighOff(75.2);
  await program.waitForText('Bar 1 is counted');
  await weighOff(74.6);

  // Too light, lifted: it is asked for, and one key keeps it.
  const light = put(72.4);
  await program.waitForText('ADD');
  await program.waitForText('Lifted off as it is, it is asked what it is.');
  bench.hand.lift(light);
  await program.waitForText('keep it under its band');
  expect(bars()).toHaveLength(2);
  program.press('k');
  await until('the light bar', () => bars().length === 3);

  // The program dies while a bar stands there.
  const standing = put(75.4);
  await program.waitForText('Right. Lift it off');
  await program.kill();
  program = start(['portion', BATCH]);
  await program.waitForText(/3 bars of 75 g/);
  bench.hand.lift(standing);
  // What its zero was is not known: it is put on once more.
  await program.waitForText(/ (AGAIN|BAR 4) .*(Put it back on|Put a scoop on)/);
  await weighOff(75.4);

  // The plug is pulled under a bar: it is not counted before it was weighed again.
  const cut = put(75.1);
  await program.waitForText('Right. Lift it off');
  await bench.line('bench').pullOut();
  await program.waitForText('NO SCALE');
  bench.hand.lift(cut);
  await bench.line('bench').plugIn();
  // It shows zero where a bar stood: only the maker knows that nothing is on it.
  await program.waitForText('the pan is empty', 20_000);
  program.press('e');
  await program.waitForText(/ BAR 5 /);
  expect(bars()).toHaveLength(4);
  await weighOff(75.1);
  program.press('u');
  await program.waitForText(/4 bars of 75 g/);
  program.press('q');
  expect(await program.exited).toEqual({ code: 0, signal: 0 });

  // To the end without a screen.
  const lines = new LinedProgram(['portion', BATCH, '--plain', '--in', bench.folder]);
  onTestFinished(() => lines.kill());
  const said = (what: RegExp) => until(`${what}`, () => lines.all.some((line) => what.test(line)));
  await said(/^> BAR 6: /);
  lines.press('e');
  await said(/^> LEFT OVER: /);
  const offcut = put(41.3);
  await said(/^> WHICH: /);
  lines.press('o');
  await said(/left over: offcut 41\.[234] g/);
  bench.hand.lift(offcut);
  lines.press('enter');
  await said(/^> REALLY ALL: \d+\.\d g of the mix is not weighed/);
  lines.press('enter');
  expect(await lines.exited).toEqual({ code: 0, signal: 0 });
  expect(lines.all.join('\n')).toMatch(
    /EU, packer's rules: PASSES\.[\s\S]*US, Handbook 133[\s\S]*legal-for-trade scale/,
  );

  const { out } = await run(['record', '--json', BATCH, '--in', bench.folder]);
  const { portioning, deviations } = JSON.parse(out);
  expect(portioning).toMatchObject({ scale: 'bench', set_point_g: '75.000', label_g: '70.000', in_lot: 4 });
  for (const [index, grams] of [75.2, 74.6, 72.4, 75.4, 75.1].entries()) {
    const { net_g, uncertainty_g, bar } = portioning.bars[index];
    expect(bar).toBe(index + 1);
    expect(Math.abs(Number(net_g) - grams)).toBeLessThanOrEqual(Number(uncertainty_g));
  }
  expect(portioning.left_over).toMatchObject([{ what: 'offcut' }]);
  expect(deviations.join('\n')).toMatch(/Bar 3, 72\.\d g, is \d\.\d g under its band, kept by Mira Tolland\./);

  // A marked bar, dried: what it lost is learnt.
  const again = new LinedProgram(['portion', '--again', BATCH, '--in', bench.folder]);
  onTestFinished(() => again.kill());
  const told = (what: RegExp) => until(`${what}`, () => again.all.some((line) => what.test(line)));
  await told(/Which bar\?/);
  again.press('1');
  await told(/Put bar 1 on/);
  const dried = put(71.8);
  await told(/bar 1 weighed again: 71\.\d g/);
  bench.hand.lift(dried);
  again.press('enter');
  expect(await again.exited).toEqual({ code: 0, signal: 0 });
  // Not a day old: it is written down, and the formula's figure stands.
  expect(again.all.join('\n')).toMatch(/says nothing of drying: 1 of them so far/);
  const judged = JSON.parse((await run(['contents', BATCH, '--json', '--in', bench.folder])).out);
  expect(judged).toMatchObject({ bars: 4, drying: { from: 'formula', bars: 0 }, eu: { passes: true } });
  expect((await run(['verify', '--in', bench.folder])).code).toBe(0);
});
