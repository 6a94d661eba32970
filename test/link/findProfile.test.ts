import { mkdtemp, readFile, rm, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, expect, test } from 'vitest';
import { findProfile, profileIds } from '../../src/link/findProfile.ts';
import { printProblems } from '../../src/workshop/problems.ts';

const DEVICES = new URL('../../devices', import.meta.url).pathname;
let own = '';
beforeAll(async () => {
  own = await mkdtemp(join(tmpdir(), 'bismar-test-'));
  const text = await readFile(join(DEVICES, 'number-and-unit.yaml'), 'utf8');
  await writeFile(join(own, 'number-and-unit.yaml'), text.replace('baud: 9600', 'baud: 1200'));
  await writeFile(join(own, 'mine.yaml'), 'describes: nothing yet\n');
});
afterAll(() => rm(own, { recursive: true, force: true }));

test("the workshop's own profile wins over the shipped one of the same name", async () => {
  const result = await findProfile('number-and-unit', [own, DEVICES]);
  expect(result).toMatchObject({ ok: true, profile: { serial: { baud: 1200 } } });
});

test('the shipped ones are found, and all are listed once', async () => {
  expect(await findProfile('status-first', [own, DEVICES])).toMatchObject({ ok: true });
  const shipped = await profileIds([DEVICES]);
  expect(shipped).toEqual(expect.arrayContaining(['ask-and-answer', 'number-and-unit', 'status-first']));
  expect(shipped.length).toBeGreaterThanOrEqual(12);
  expect(await profileIds([own, DEVICES, '/no/such/folder'])).toEqual([...shipped, 'mine'].sort());
});

test.each(['nothing', '../devices/status-first', '', 'Status-First'])('"%s" is told with what there is', async (id) => {
  const result = await findProfile(id, [DEVICES]);
  expect(result.ok ? '' : printProblems(result.problems)).toContain(
    `one of ${(await profileIds([DEVICES])).join(', ')}`,
  );
});

test('problems in a profile name its file', async () => {
  const result = await findProfile('mine', [own]);
  expect(result.ok ? '' : printProblems(result.problems)).toContain('mine.yaml:1:1');
});
