import { expect, it } from 'vitest';
import { printProblems } from '../../src/workshop/problems.ts';
import { readWorkshop } from '../../src/workshop/readWorkshop.ts';

const text = (line: string) => `
name: Sound
operators: [Ann]
scales:
  bench: { capacity: 5 kg, d: 0.1 g, keyed: yes }
vessels: {}
ingredients: {}
${line}
`;

it.each([
  ['', undefined],
  ['cue sound: off', undefined],
  ['cue sound: bell', 'bell'],
  ['cue sound: { run: [play, "sounds/{cue}.wav"] }', { run: ['play', 'sounds/{cue}.wav'] }],
])('%s', (line, wish) => {
  const read = readWorkshop('workshop.yaml', text(line));
  expect(read.ok && read.workshop.cueSound).toEqual(wish);
});

it.each([
  ['cue sound: loud', /^workshop\.yaml:8:12 .*cue sound\s+found `loud`, expected `off`, `bell`, or `\{ run: \[PROGRAM/],
  [
    'cue sound: { run: [] }',
    /^workshop\.yaml:8:14 .*cue sound\.run\s+found an empty list, expected at least one entry/,
  ],
  ['cue sound: { run: play it }', /^workshop\.yaml:8:[\s\S]*expected `off`, `bell`, or `\{ run: \[PROGRAM/],
])('%s is refused, with what it may be', (line, problem) => {
  const read = readWorkshop('workshop.yaml', text(line));
  expect(read.ok ? '' : printProblems(read.problems)).toMatch(problem);
});
