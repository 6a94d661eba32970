/** When bars may be weighed off at all: of a mix that is whole, and not once more without being asked. */
import { cpSync } from 'node:fs';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { expect, test } from 'vitest';
import { portion } from '../../../src/cli/portion/portion.ts';
import type { Happened } from '../../../src/facts/fact.ts';
import { openLog } from '../../../src/records/batchLog.ts';
import { barsBegin } from '../../facts/sampleBars.ts';
import { sampleHappened } from '../../records/sampleFacts.ts';
import { tempFolder } from '../../records/tempFolder.ts';

/** Weighed to the last step, and not finished. */
const begun = sampleHappened().filter(({ kind }) => kind !== 'finished');

async function tried(more: readonly Happened[], options: { more?: boolean } = {}) {
  const folder = tempFolder();
  cpSync(fileURLToPath(new URL('../../../fixtures/demo', import.meta.url)), folder, { recursive: true });
  const write = openLog(join(folder, 'batches.db'));
  await write.append('B', 'Mara', [...begun, ...more]);
  write.close();
  const said = await portion('B', { in: folder, showAs: 'plain', scale: 'fine', setPoint: '75g', ...options }).then(
    () => 'went on',
    (error: unknown) => String(error),
  );
  const read = openLog(join(folder, 'batches.db'), { readOnly: true });
  const count = read.facts('B').length;
  read.close();
  return { said, folder, isUntouched: count === begun.length + more.length };
}

test('a batch that is still being weighed has no whole mix: go on with resume', async () => {
  const { said, folder, isUntouched } = await tried([]);
  expect(said).toContain('Batch B is not weighed to its end yet');
  expect(said).toContain(`resume B --in ${folder}`);
  expect(isUntouched).toBe(true);
});

test('a batch that was given up has no bars', async () => {
  const { said, isUntouched } = await tried([{ kind: 'abandoned', reason: 'spilt' }]);
  expect(said).toContain('Batch B was given up');
  expect(isUntouched).toBe(true);
});

test('bars that were ended are opened again by a word of the maker only', async () => {
  const ended: Happened[] = [{ kind: 'finished' }, barsBegin, { kind: 'portioning-ended' }];
  const { said, folder, isUntouched } = await tried(ended);
  expect(said).toContain('The bars of batch B were ended');
  expect(said).toContain(`portion B --more --in ${folder}`);
  expect(isUntouched).toBe(true);
  expect((await tried(ended, { more: true })).said).not.toContain('were ended');
});
