/** What a shell offers at the Tab key, and the manual page: all commands and options, and nothing a shell would run. */
import { cpSync, mkdirSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, expect, test, vi } from 'vitest';
import { commandLine } from '../../src/cli/commands.ts';
import { complete, everyCommand } from '../../src/cli/complete.ts';
import { manualPage } from '../../src/cli/manual.ts';

vi.mock('../../src/cli/version.ts', () => ({ version: () => '0' }));

const folder = mkdtempSync(join(tmpdir(), 'bismar-tab-'));
cpSync('fixtures/demo', folder, { recursive: true });
cpSync('devices/send-key.yaml', join(folder, 'scales/own-scale.yaml'));
afterAll(() => rmSync(folder, { recursive: true }));

const program = commandLine(async (work) => void (await work()));

async function offered(...words: string[]): Promise<string[]> {
  const lines: string[] = [];
  const log = vi.spyOn(console, 'log').mockImplementation((line) => void lines.push(String(line)));
  try {
    await complete(program, words);
  } finally {
    log.mockRestore();
  }
  expect(lines.at(-1)).toMatch(/^:\d+$/);
  return lines.slice(0, -1).map((line) => line.split('\t')[0] ?? '');
}

test('commands, their own commands, options', async () => {
  expect(await offered('we')).toEqual(['weigh']);
  expect(await offered('scale', 'che')).toEqual(['check-profile', 'check']);
  expect(await offered('record', '--h')).toEqual(['--html', '--help']);
  expect(await offered('completion', '')).toEqual(['bash', 'zsh', 'fish', 'powershell']);
});

test("the workshop's own names", async () => {
  expect(await offered('weigh', '--in', folder, '')).toEqual(['cornflower-oat-bar']);
  expect(await offered('lot', 'next', '--in', folder, 'oatm')).toEqual(['oatmeal']);
  expect(await offered('lot', 'block', '--in', folder, 'oat-protein', '')).toEqual(['OP-12', 'OP-15']);
  expect(await offered('scale', 'watch', '--in', folder, '')).toEqual(['bench', 'fine']);
  expect(await offered('scale', 'watch', '--in', folder, '--profile', 'own')).toEqual(['own-scale']);
  expect(await offered('plan', '--fill', '')).toEqual([]);
});

test('where there is no workshop, or none that can be read, there are no names and no trouble', async () => {
  expect(await offered('weigh', '--in', join(folder, 'nowhere'), '')).toEqual([]);
  const broken = join(folder, 'broken');
  mkdirSync(broken);
  writeFileSync(join(broken, 'workshop.yaml'), 'scales: [');
  expect(await offered('lot', 'next', '--in', broken, '')).toEqual([]);
});

test('a name that a shell would take for a command is not offered', async () => {
  const strange = join(folder, 'strange');
  const formulas = join(strange, 'formulas');
  mkdirSync(formulas, { recursive: true });
  for (const name of ['$(touch x)', '`id`', 'a;b', 'a b', "it's", 'a\u001b[2J', 'plain-name']) {
    writeFileSync(join(formulas, `${name}.yaml`), '');
  }
  expect(await offered('weigh', '--in', strange, '')).toEqual(['plain-name']);
});

test('the manual page has every command and option, and no line that is a request by accident', () => {
  const page = manualPage(program);
  const plain = page.replaceAll('\\-', '-').replaceAll(/\\f[BIR]/g, '');
  for (const [path, command] of everyCommand(program)) {
    if (command.commands.length > 0) continue;
    expect(plain).toContain(`\n.SS bismar ${path}\n`);
    for (const { flags } of command.options) expect(plain).toContain(`\n${flags}\n`);
  }
  const requests = new Set(page.split('\n').flatMap((line) => /^[.'](\S*)/.exec(line)?.[1] ?? []));
  expect(requests).toEqual(new Set(['TH', 'SH', 'SS', 'PP', 'TP', 'B']));
  expect(page).not.toMatch(/\n\n/);
});
