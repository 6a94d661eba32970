/** A bar on a scale without a port once more: what can't be that bar is asked before it is written down. */
import { cpSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { PassThrough } from 'node:stream';
import { fileURLToPath } from 'node:url';
import { expect, onTestFinished, test, vi } from 'vitest';
import { loadWorkshop } from '../../../src/cli/folder.ts';
import { weighAgain } from '../../../src/cli/portion/portionAgain.ts';
import { barsOf } from '../../../src/facts/bars.ts';
import { openLog } from '../../../src/records/batchLog.ts';
import { aBar, barsBegin } from '../../facts/sampleBars.ts';
import { g, sampleHappened } from '../../records/sampleFacts.ts';
import { tempFolder } from '../../records/tempFolder.ts';

test('a bar that seems to have gained is asked for, and a loss of the same day teaches nothing', async () => {
  const folder = tempFolder();
  cpSync(fileURLToPath(new URL('../../../fixtures/demo', import.meta.url)), folder, { recursive: true });
  const file = join(folder, 'workshop.yaml');
  const typed = readFileSync(file, 'utf8').replace(/ {4}port: demo:fine\n {4}profile: .*\n/, '    keyed: yes\n');
  writeFileSync(file, typed);
  const log = openLog(join(folder, 'batches.db'));
  onTestFinished(() => log.close());
  await log.append('B', 'Mara', [...sampleHappened(), barsBegin, aBar(1, 76.3)]);
  const said: string[] = [];
  const input = new PassThrough();
  // Each prompt is answered when it is said; with the weight once only for each time a bar is asked for.
  const weights = ['99.00', '72.10', '72.90'];
  const bars = ['u', '1', '1', 'u', '1', ''];
  let isAsked = false;
  const type = (line: string | undefined) => void input.write(`${line ?? ''}\n`);
  const out = vi.spyOn(process.stdout, 'write').mockImplementation((text) => {
    const line = String(text);
    said.push(line);
    if (/Is it that bar\?/.test(line)) type('n');
    else if (/y takes it back, anything else/.test(line)) type('y');
    else if (/What does the display show/.test(line)) type('0');
    else if (/^Put bar 1 on/.test(line) && isAsked) {
      isAsked = false;
      type(weights.shift());
    } else if (/^Which bar\?/.test(line)) {
      isAsked = true;
      type(bars.shift());
    }
    return true;
  });
  onTestFinished(() => out.mockRestore());
  const workshop = loadWorkshop(folder);
  const options = { in: folder, scale: 'fine', showAs: 'plain' as const };
  const done = weighAgain({ log, workshop, batch: 'B', by: 'Mara', options, input });
  await done;
  const all = said.join('');
  expect(all).toContain('Bar 1 weighed 76.30 g as pressed, this weighs 99.00 g: it weighs more than as pressed');
  expect(all).toContain('Nothing was written down.');
  expect(all).toContain('says nothing of drying: 1 of them so far');
  const again = log.facts('B').flatMap((fact) => (fact.kind === 'bar-weighed-again' ? [fact.net] : []));
  expect(again).toEqual([g(72.1), g(72.9)]);
  // The first was taken back: asked for by what it was, and told as a fact of its own.
  expect(all).toContain('No bar was weighed again that could be taken back.');
  expect(all).toMatch(/The last one was bar 1, 72\.10 g, 20.*, by Mara\. y takes it back/);
  expect(all).toContain('the last weighing again of bar 1 taken back');
  expect(barsOf(log.facts('B'))?.bars[0]?.again.map(({ net }) => net)).toEqual([g(72.9)]);
});
