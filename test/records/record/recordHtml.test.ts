import { expect, onTestFinished, test, vi } from 'vitest';
import type { Happened } from '../../../src/facts/fact.ts';
import { recordHtml } from '../../../src/records/record/recordHtml.tsx';
import { sampleBars } from '../../facts/sampleBars.ts';
import { g, sampleHappened, samplePlan, sealed } from '../sampleFacts.ts';
import { facedWith, recordOf, rescuedFacts, sampleRecords, seal, traced } from '../sampleRecords.ts';

function pageOf(happened: readonly Happened[]): string {
  return recordHtml(recordOf(sealed(happened)));
}

const everywhere = (text: string) => recordHtml(recordOf(facedWith(text)));

/** The words of a page, without its drawings. */
function wordsOf(html: string): string {
  return html
    .replace(/<(style|svg).*?<\/\1>/gs, '')
    .replace(/<[^>]+>/g, ' ')
    .replace(/\s+/g, ' ');
}

test('one self-contained document that says what, when, who, and how it was weighed', () => {
  const errors = vi.spyOn(console, 'error');
  onTestFinished(() => errors.mockRestore());
  const html = pageOf(sampleHappened());
  expect(errors).not.toHaveBeenCalled();
  expect(html).toMatch(/^<!doctype html>\n<html lang="en">/);
  expect(html).not.toMatch(/<(script|link|img|iframe|object)|style="|https?:|@import|url\(/);
  const text = html.replace(/<style>.*<\/style>/s, '').replace(/<[^>]+>/g, ' ');
  for (const said of [
    'Cornflower &amp; oat cleansing bar',
    'version 3',
    '2026-11-25-1',
    'Mara',
    '2026-11-25 10:00:00 (+01:00)',
    '1016.117 g', // planned
    '1016.10 g', // in the batch
    '-0.02 g', // against the plan
    'Butyrospermum Parkii Butter',
    'SH-45B',
    '74.227',
    '72.8',
    '75.7',
    '74.5',
    '± 0.16',
    'over-pour caught: 4.3 g taken back out',
    'lot SA-88 used up',
    '0.12 g over its band, kept by Mara: safety limit is 1.0 %, this is 0.9 %',
    'lost 10:00:19, back 10:00:20',
    'taken up again 10:00:21 by Mara',
    'The lot was SA-92.',
    'signature',
    seal.hash,
    'not approved for legal trade',
  ]) {
    expect(text).toContain(said);
  }
});

test('a batch that has just begun, and one without deviations', () => {
  const begun = pageOf([{ kind: 'batch-started', plan: samplePlan }]);
  expect(begun).toContain('Nothing has been weighed yet.');
  expect(begun).toContain('still open');
  expect(begun).toContain('Nothing was over its band.');
});

test('what went in too much, from which lot, on which scale, and what was done about it, is the first thing told', () => {
  const words = wordsOf(pageOf(traced(sampleHappened())));
  const told = words.slice(
    words.indexOf('Too much, and what was done about it'),
    words.indexOf('What else went otherwise'),
  );
  for (const said of [
    'Shea butter, refined, chunks (A2), lot SH-45B, on the bench scale at 10:00:04, Mara: 78.8 g, 3.1 g more than the 75.7 g that its band allows. 4.3 g was taken back out of melt jug, steel (V1); 74.5 g was accepted, in its band.',
    'Blue dye powder (B2), lot BD-7, on the fine scale at 10:00:22, Mara: 0.82 g, 0.05 g more than the 0.77 g that its band allows. 0.07 g was put back into its jar; 0.75 g was accepted, in its band.',
    'Lavender oil (E2), lot LV-6, on the fine scale at 10:00:30, Mara: 11.42 g, 0.12 g more than its band allows. It was kept by Mara: safety limit is 1.0 %, this is 0.9 %.',
  ]) {
    expect(told).toContain(said);
  }
  expect(words.indexOf('Too much')).toBeLessThan(words.indexOf('Weighings'));
  // It is told once.
  expect(words.slice(words.indexOf('What else')).split('Lavender oil (E2): 0.12 g over').length).toBe(1);
});

test('a rescue is told where the too much is', () => {
  const words = wordsOf(recordHtml(recordOf(rescuedFacts())));
  expect(words).toMatch(
    /Glycerin \(B2\), lot GL-30, on the bench scale at [^.]+: 60\.0 g, 3\.\d g more than the 56\.\d g that its band allows\. Someone had the batch made larger so that it is right: Scale up: 26 bars .*What else went otherwise than planned Nothing\./,
  );
});

test.each<[string, Happened[], string]>([
  [
    'thrown away',
    [{ kind: 'discarded', draw: 'E2', lot: 'LV-6', amount: g(12), reason: 'it smelled off' }],
    '12.00 g of lot LV-6 was thrown away by Mara: it smelled off.',
  ],
  [
    'given up',
    [{ kind: 'given-up', vessel: 'V4', draws: ['E2'], reason: 'it fell' }],
    'Its vessel was given up with all that was in it: it fell.',
  ],
  ['still open', [], 'Nothing has been done about it since'],
])('too much that was %s', (_, then, said) => {
  const held: Happened = { kind: 'held', draw: 'E2', net: g(12), over: g(0.7) };
  expect(wordsOf(pageOf([{ kind: 'batch-started', plan: samplePlan }, held, ...then]))).toContain(said);
});

test('charts: a pour beside each draw, the flow, the bars; each with its numbers in words', () => {
  const html = pageOf(traced([...sampleHappened(), ...sampleBars()]));
  const words = [...html.matchAll(/<svg [^>]*aria-label="([^"]*)"/g)].map(([, label]) => label ?? '');
  expect(words.filter((label) => label.startsWith('Pour of '))).toHaveLength(7 + 3); // of eight one is keyed; three are drawn large as well
  expect(words.filter((label) => label.startsWith('What went where. Left the lots '))).toHaveLength(1);
  expect(words.join()).toContain(
    'In the vessels 1016.10 g; from here not accounted for 567.80 g. Weighed off 448.30 g.',
  );
  expect(words.filter((label) => label.startsWith('Bars'))).toHaveLength(2);
  expect(html).toContain('keyed, no trace');
  expect(wordsOf(html)).toContain('Bars in the lot 4 302.60 g, 29.8 % of what was weighed');
  expect(wordsOf(html)).toContain('Bar 2: pulled, back into the mix: a corner broke off.');
});

test('the label is told as help, or why there is none', () => {
  const record = recordOf(sealed(sampleHappened()));
  const faults = ['Red dye stock: its parts are not known.'];
  const without = wordsOf(recordHtml(record, { label: { ok: false, faults } }));
  expect(without).toContain('The list can not be written yet: Red dye stock: its parts are not known.');
  expect(recordHtml(record)).not.toContain('>Label');
  const judged = recordHtml(record, { contents: ['EU: PASSES.', '  1. Mean 75 g <b>.', 'Local rules decide.'] });
  expect(judged).toContain('<p class="sub">1. Mean 75 g &lt;b&gt;.</p>');
  expect(judged).toContain('Local rules decide.');
});

test.each(Object.keys(sampleRecords))('a record %s is printed whole', (name) => {
  const html = recordHtml(sampleRecords[name]?.() ?? recordOf([]));
  expect(html).not.toMatch(/NaN|undefined|\[object|Infinity/);
  expect(html).toContain(seal.hash);
});

test.each([
  '<script>alert(1)</script>',
  '</style><img src=x onerror=alert(1)>',
  '" autofocus onfocus="alert(1)',
  '&lt;b&gt;',
])('hostile names stay text: %s', (name) => {
  const html = everywhere(name);
  const shell = html.replace(/<style>.*?<\/style>/s, '');
  expect(shell).not.toMatch(/<script|<img|onfocus="|onerror=(?!alert\(1\)&gt;)/);
  expect(html.match(/<\/style>/g)).toHaveLength(1);
});

test('no control, escape, invisible or direction-turning character gets in', () => {
  const html = everywhere('a\u001b[31m\u0000\u009b\u202e\u2066\u200b\ufeffz');
  expect(html).toContain('az');
  expect(html).not.toMatch(/[\x00-\x09\x0b-\x1f\x7f-\x9f\u200b-\u200f\u202a-\u202e\u2060-\u2069\ufeff]/);
});

test('beside the end of the weighing: until when bars were weighed off; and on which scale and by whom they were', () => {
  const words = wordsOf(pageOf([...sampleHappened(), ...sampleBars()]));
  expect(words).toMatch(/Finished 2026-11-25 10:00:3\d \(\+01:00\) all ingredients weighed; bars until 10:00:\d\d/);
  expect(words).toMatch(/Weighed on the bench scale, from 2026-11-25 10:00:\d\d \(\+01:00\) to 10:00:\d\d, by Mara\./);
  expect(words).toContain('Left over, in no bar: offcut 75.3 g, crumbs 2.1 g; what became of it is not noted.');
  const open = wordsOf(pageOf([...sampleHappened(), ...sampleBars().slice(0, 3)]));
  expect(open).toMatch(/bars not ended yet, the last so far 10:00:\d\d/);
});
