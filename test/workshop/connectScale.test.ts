/** A scale's port and profile are put into the maker's own text, which stays as it is otherwise. */
import { readFileSync } from 'node:fs';
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { parse } from 'yaml';
import { connectScale } from '../../src/workshop/connectScale.ts';
import { newWorkshop, USUAL_WORKSHOP } from '../../src/workshop/newWorkshop.ts';
import { readWorkshop } from '../../src/workshop/readWorkshop.ts';

const fresh = newWorkshop(USUAL_WORKSHOP, '2026-11-25')[0]?.text ?? '';
const demo = readFileSync(new URL('../../fixtures/demo/workshop.yaml', import.meta.url), 'utf8');

function connected(text: string, scale = 'bench', port = '/dev/ttyUSB0') {
  const changed = connectScale(text, scale, port, 'kitchen-scale');
  if (changed === undefined) throw new Error('it was not changed');
  return changed;
}

/** Lines of one text that the other does not have. */
function differing(a: string, b: string): string[] {
  const others = new Set(b.split('\n'));
  return a.split('\n').filter((line) => !others.has(line));
}

describe('a scale', () => {
  test('that was typed in gets its port and profile; the old line stays as a comment', () => {
    const changed = connected(fresh);
    expect(differing(changed, fresh)).toEqual([
      '    port: "/dev/ttyUSB0"',
      '    profile: kitchen-scale',
      expect.stringMatching(/^ {4}# keyed: yes # no port: its display is typed in/),
    ]);
    expect(differing(fresh, changed)).toEqual([]); // the fine scale has the same line
    const read = readWorkshop('workshop.yaml', changed);
    expect(read.ok && read.workshop.scales.get('bench')).toMatchObject({
      port: '/dev/ttyUSB0',
      profile: 'kitchen-scale',
    });
    expect(read.ok && read.workshop.scales.get('fine')?.port).toBeUndefined();
  });

  test('that has a port and a profile gets new ones in their places', () => {
    const changed = connected(demo, 'fine', 'COM7');
    expect(differing(changed, demo)).toHaveLength(differing(demo, changed).length);
    const read = readWorkshop('workshop.yaml', changed);
    expect(read.ok && read.workshop.scales.get('fine')).toMatchObject({ port: 'COM7', profile: 'kitchen-scale' });
  });

  test.each([
    ['on one line', 'scales: {bench: {capacity: 5 kg, d: 0.1 g, keyed: yes}} # mine\n'],
    [
      'with nothing said of its port',
      'scales:\n    bench: # the old one\n        capacity: 5 kg # max\n        d: 0.1 g\n',
    ],
    ['with a port only', 'scales:\n  bench:\n    port: /dev/ttyS1 # left socket\n    capacity: 5 kg\n'],
    [
      'with its profile first',
      'scales:\n  bench:\n    profile: \'old\'  # hm\n    d: 0.1 g\n    port: "/dev/old" # right\n',
    ],
  ])('%s', (_, text) => {
    const changed = connected(text);
    expect(parse(changed).scales.bench).toMatchObject({ port: '/dev/ttyUSB0', profile: 'kitchen-scale' });
    expect(parse(changed).scales.bench.keyed).toBeUndefined();
    for (const [comment] of text.matchAll(/#.*/g)) expect(changed).toContain(comment);
  });

  test.each([
    ['that is not there', 'scales: {fine: {d: 0.1 g}}'],
    ['that is another one again', 'scales:\n  fine: &f {d: 0.1 g}\n  bench: *f\n'],
    ['whose adapter is pinned', 'scales: {bench: {d: 0.1 g, port: x, adapter: A1, profile: p}}'],
    ['whose port is a repeat', 'a: &p /dev/x\nscales: {bench: {d: 0.1 g, port: *p, profile: p}}'],
    ['without anything', 'scales: {bench: {}}'],
    ['in a broken file', 'scales: [}'],
  ])('%s is left to the maker', (_, text) => {
    expect(connectScale(text, 'bench', '/dev/ttyUSB0', 'kitchen-scale')).toBeUndefined();
  });
});

test('a file with the line endings of Windows keeps them', () => {
  const changed = connected(fresh.replaceAll('\n', '\r\n'));
  expect(changed.replaceAll('\r\n', '')).not.toContain('\n');
  expect(parse(changed).scales.bench).toMatchObject({ port: '/dev/ttyUSB0', profile: 'kitchen-scale' });
});

test('any port is written so that it is read back', () => {
  fc.assert(
    fc.property(
      fc.string({ minLength: 1, maxLength: 40, unit: 'binary' }).filter((port) => port.isWellFormed()),
      (port) => {
        expect(parse(connected(fresh, 'bench', port)).scales.bench.port).toBe(port);
        expect(parse(connected(demo, 'bench', port)).scales.bench.port).toBe(port);
      },
    ),
    { numRuns: 25 },
  );
});
