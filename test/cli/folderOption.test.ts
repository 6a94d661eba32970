/** `--in FOLDER` may stand before the command or after it. */
import { cpSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, expect, test, vi } from 'vitest';
import { commandLine } from '../../src/cli/commands.ts';

// The number stands in package.json beside the built program, which is not what is tested here.
vi.mock('../../src/cli/version.ts', () => ({ version: () => '0' }));

const folder = mkdtempSync(join(tmpdir(), 'bismar-in-'));
cpSync('fixtures/demo', folder, { recursive: true });
afterAll(() => rmSync(folder, { recursive: true }));

async function printed(...args: string[]): Promise<string> {
  let text = '';
  const out = vi.spyOn(process.stdout, 'write').mockImplementation((chunk) => {
    text += String(chunk);
    return true;
  });
  try {
    const program = commandLine(async (work) => void (await work()));
    await program.parseAsync(args, { from: 'user' });
  } finally {
    out.mockRestore();
  }
  return text;
}

test.each([
  ['before the command', ['--in', folder, 'stock']],
  ['after the command', ['stock', '--in', folder]],
  ['after the command, which counts more', ['--in', '/nowhere', 'stock', '--in', folder]],
  ['before a command of two words', ['--in', folder, 'lot', 'next', 'oat-protein']],
])('%s', async (_, args) => {
  expect(await printed(...args)).toContain('OP-15');
});

test.each([
  ['before the commands', ['--in', folder, 'stock', 'take']],
  ['between them', ['stock', '--in', folder, 'take']],
  ['after them', ['stock', 'take', '--in', folder]],
])('of a command within a command, %s', async (_, args) => {
  const jar = ['glycerin', 'GL-30', '--gross', '1150 g', '--tare', '50 g', '--by', 'Mira Tolland'];
  expect(await printed(...args, ...jar)).toContain('glycerin, lot GL-30: 1100.0 g found (typed)');
});

test('a log that was never begun, as the program ended while it made the file, is no log yet', async () => {
  const other = join(folder, 'killed');
  cpSync('fixtures/demo', other, { recursive: true });
  writeFileSync(join(other, 'batches.db'), '');
  expect(await printed('--in', other, 'stock')).toContain('OP-15');
  expect(await printed('--in', other)).toMatch(/^Cornflower bench\n/);
  await printed('--in', other, 'export', join(folder, 'plain'));
  expect(readFileSync(join(folder, 'plain/workshop.yaml'), 'utf8')).toContain('Cornflower');
});

test('without a command it is the workshop there', async () => {
  expect(await printed('--in', folder)).toMatch(/^Cornflower bench\n/);
  expect(await printed('--in', `${folder}/nowhere`)).toMatch(/^There is no workshop in .*nowhere\.\n/);
});
