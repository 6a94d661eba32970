/** Who weighs stands behind the title, but never costs a letter of the title or of the place in the work. */
import { expect, test } from 'vitest';
import { SCENES } from './scenes.ts';
import { openSeen } from './seenTerminal.ts';

const OPERATOR = 'Mira Tolland';

async function firstLine(more: { by: string; where?: string; columns: number; rows: number }): Promise<string> {
  const scene = SCENES.pour;
  if (!scene) throw new Error('no scene');
  const { columns, rows, ...rest } = more;
  const seen = openSeen({ ...scene.view, ...rest }, { columns, rows });
  const [line = ''] = (await seen.look()).split('\n');
  await seen.screen.close();
  return line;
}

test('shown where there is room', async () => {
  const line = await firstLine({ by: OPERATOR, columns: 120, rows: 40 });
  expect(line).toContain(`batch 2026-11-25-1, ${OPERATOR}  `);
  expect(line).toMatch(/draw \d+ of \d+$/);
});

test('left out where title and place need the room', async () => {
  const line = await firstLine({ by: OPERATOR, columns: 80, rows: 24 });
  expect(line).not.toContain(OPERATOR);
  expect(line).toContain('Cornflower & oat cleansing bar 3, batch 2026-11-25-1 ');
  expect(line).toMatch(/draw \d+ of \d+$/);
});

test('not twice, where the place already says it', async () => {
  const line = await firstLine({ by: OPERATOR, where: `weighed by ${OPERATOR}`, columns: 120, rows: 40 });
  expect(line.split(OPERATOR)).toHaveLength(2);
});
