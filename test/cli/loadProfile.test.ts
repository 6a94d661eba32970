import { cpSync, mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, expect, test } from 'vitest';
import { EXIT } from '../../src/cli/exit.ts';
import { loadProfile } from '../../src/cli/folder.ts';

const workshop = mkdtempSync(join(tmpdir(), 'bismar-profiles-'));
for (const id of ['ask-and-answer', 'status-first']) {
  cpSync(new URL(`../../devices/${id}.yaml`, import.meta.url), join(workshop, 'scales', `${id}.yaml`));
}
afterAll(() => rmSync(workshop, { recursive: true, force: true }));

test('a profile that is not there is told in a sentence, with the nearest and all there are', async () => {
  await expect(loadProfile(workshop, 'status-frist')).rejects.toMatchObject({
    code: EXIT.wrongUse,
    message: expect.stringMatching(
      /^There is no wire profile "status-frist"\. Did you mean status-first\? There are: ask-and-answer, .*scale teach/,
    ),
  });
});

test('what is typed as its name does not paint, and no file elsewhere is read', async () => {
  const told = await loadProfile(workshop, '\x1b[31m../../package').catch((error: Error) => error.message);
  expect(told).toMatch(/^There is no wire profile "/);
  expect(told).not.toContain('\x1b');
});

test('one that is there is read', async () => {
  expect((await loadProfile(workshop, 'status-first')).id).toBe('status-first');
});
