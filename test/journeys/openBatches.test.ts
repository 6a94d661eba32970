/** A batch that was left open is told when another is begun, and can be given up as the program says. */
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { expect, onTestFinished, test } from 'vitest';
import { LinedProgram } from './linedProgram.ts';
import { run } from './run.ts';
import { until } from './until.ts';

test('weigh tells of the open batch; taken up again, it is given up by the keys that were told', async () => {
  const around = mkdtempSync(join(tmpdir(), 'bismar-journey-'));
  onTestFinished(() => rmSync(around, { recursive: true, force: true }));
  const folder = join(around, 'workshop');
  await run(['init', '--yes', folder]);
  const first = await run(['weigh', '--plain', '--in', folder]);
  expect(first.out).not.toContain('Open:');
  const second = await run(['weigh', '--plain', '--in', folder]);
  const id = /^Open: batch (\S+) of .* Go on with: (?:npx )?bismar resume \1 --in /m.exec(second.out)?.[1];
  if (id === undefined) throw new Error(`no open batch is told:\n${second.out}`);
  const keys = /^To give one up: .*press x \(stop\), e \(end it for good\), Enter/m.test(second.out);
  expect(keys).toBe(true);

  const program = new LinedProgram(['resume', id, '--plain', '--in', folder]);
  onTestFinished(() => program.kill());
  const says = (what: RegExp) =>
    until(`line like ${what}`, () => what.test(program.all.at(-1) ?? ''), { seen: () => program.all.join('\n') });
  await says(/GATHER/);
  program.press('enter');
  await says(/PUT ON.*\[x\] stop/);
  program.press('x');
  await says(/\[e\] end the batch for good/);
  program.press('e');
  await says(/END IT\?/);
  program.press('enter');
  expect((await program.exited).code).toBe(0);
  const record = JSON.parse((await run(['record', id, '--json', '--in', folder])).out) as { status: string };
  expect(record.status).toBe('abandoned');
  // Without an option the record is text for people.
  const text = await run(['record', id, '--in', folder]);
  expect(text).toMatchObject({ code: 0, err: '' });
  expect(text.out).toMatch(new RegExp(`^Practice mix, version 1\\nBatch ${id}, abandoned, by Maker\\n`));
  expect((await run(['weigh', '--plain', '--in', folder])).out).not.toContain(`batch ${id} `);
});
