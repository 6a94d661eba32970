import { existsSync } from 'node:fs';
import { type Browser, chromium, type Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, onTestFinished, test, vi } from 'vitest';
import type { Happened } from '../../src/facts/fact.ts';
import type { Plan, PlannedDraw } from '../../src/plan/model.ts';
import { batchRecord } from '../../src/records/batchRecord.ts';
import { recordHtml } from '../../src/records/recordHtml.tsx';
import { g, planned, sampleHappened, samplePlan, sealed, weighed } from './sampleFacts.ts';

const seal = { seq: 34, hash: '3f9a'.repeat(16) };

function pageOf(happened: readonly Happened[], options: { batch?: string; by?: string } = {}): string {
  return recordHtml(batchRecord(sealed(happened, options), seal));
}

/** The sample with every name, reason and id replaced. */
function everywhere(text: string): string {
  const tasks = samplePlan.tasks.map((task) => {
    return task.kind === 'draw' ? { ...task, name: text, inci: text, lot: text } : { ...task, say: text };
  });
  const plan: Plan = {
    ...samplePlan,
    formula: { id: text, name: text, version: text },
    phases: samplePlan.phases.map((phase) => ({ ...phase, name: text })),
    vessels: Object.fromEntries(Object.entries(samplePlan.vessels).map(([id, of]) => [id, { ...of, name: text }])),
    tasks,
  };
  const happened = sampleHappened(plan).map((each) => {
    if ('say' in each) return { ...each, say: text };
    return 'reason' in each ? { ...each, reason: text } : each;
  });
  return pageOf(happened, { batch: text, by: text });
}

/** A batch of many draws, longer than a page. */
function longBatch(count: number): string {
  const first = planned('A1');
  const draws: PlannedDraw[] = Array.from({ length: count }, (_, index) => ({ ...first, id: `A${index + 1}` }));
  const plan: Plan = { ...samplePlan, tasks: draws };
  return pageOf([{ kind: 'batch-started', plan }, ...draws.map(({ id }) => weighed(id, g(55.4), {}, plan))]);
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
  expect(begun).toContain('Nothing.');
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

const BROWSER = '/usr/bin/chromium';
const missing = !existsSync(BROWSER);
if (missing) console.warn(`${BROWSER} is not installed: the printed page is not judged in a browser.`);

describe.skipIf(missing)('in a browser', () => {
  let browser: Browser;
  beforeAll(async () => {
    browser = await chromium.launch({
      executablePath: BROWSER,
      args: [
        ...['--no-sandbox', '--headless', '--disable-gpu', '--disable-quic', '--no-first-run', '--disable-sync'],
        ...['--disable-background-networking', '--disable-component-update'],
      ],
    });
  });
  afterAll(() => browser?.close());

  /** Shows a page; everything that it complains of or asks for is gathered. */
  async function show(html: string): Promise<{ page: Page; troubles: string[] }> {
    const page = await browser.newPage();
    onTestFinished(() => page.close());
    const troubles: string[] = [];
    page.on('console', (message) => troubles.push(message.text()));
    page.on('pageerror', (error) => troubles.push(error.message));
    page.on('dialog', (dialog) => {
      troubles.push(dialog.message());
      void dialog.dismiss();
    });
    await page.route('**', (route) => {
      const url = route.request().url();
      if (url === 'http://record.invalid/') return route.fulfill({ contentType: 'text/html', body: html });
      troubles.push(`asked for ${url}`);
      return route.abort();
    });
    await page.goto('http://record.invalid/');
    return { page, troubles };
  }

  async function pagesOf(page: Page, format: 'A4' | 'Letter'): Promise<number> {
    const pdf = await page.pdf({ format, preferCSSPageSize: true });
    return pdf.toString('latin1').match(/\/Type\s*\/Page\b(?!s)/g)?.length ?? 0;
  }

  function styleOf(page: Page, element: string, property: string): Promise<unknown> {
    return page.evaluate(`getComputedStyle(document.querySelector('${element}')).${property}`);
  }

  /** Width that the paper leaves between the margins of 13 mm, in CSS pixels. */
  const paper = { A4: ((210 - 26) / 25.4) * 96, Letter: (8.5 - 26 / 25.4) * 96 };

  /** What is wider than its place when printed. */
  async function cutOff(page: Page, format: 'A4' | 'Letter'): Promise<string[]> {
    await page.emulateMedia({ media: 'print' });
    await page.setViewportSize({ width: Math.floor(paper[format]), height: 900 });
    return page.evaluate(
      `[...document.querySelectorAll('html, body, body *')].filter((it) =>
        (it.clientWidth > 0 && it.scrollWidth > it.clientWidth) ||
        it.getBoundingClientRect().right > document.documentElement.clientWidth + 0.5
      ).map((it) => it.outerHTML.slice(0, 200))`,
    );
  }

  test('the sample: styled, silent, nothing fetched, nothing cut, two pages', async () => {
    const { page, troubles } = await show(pageOf(sampleHappened()));
    expect(await page.title()).toBe('Batch record 2026-11-25-1');
    expect(await styleOf(page, 'table', 'borderCollapse')).toBe('collapse');
    for (const format of ['A4', 'Letter'] as const) {
      expect(await pagesOf(page, format), format).toBe(2);
      expect(await cutOff(page, format), format).toEqual([]);
    }
    expect(troubles).toEqual([]);
  });

  test('sixty draws: several pages, the head of the table on each', async () => {
    const { page, troubles } = await show(longBatch(60));
    const pages = await pagesOf(page, 'A4');
    expect(pages).toBeGreaterThanOrEqual(3);
    expect(pages).toBeLessThanOrEqual(6);
    expect(await styleOf(page, 'thead', 'display')).toBe('table-header-group');
    expect(troubles).toEqual([]);
  });

  test.each(['<script>alert(1)</script>', '</style><img src=x onerror=alert(1)>', '" onmouseover="alert(1)'])(
    'hostile names are shown and not run: %s',
    async (name) => {
      const { page, troubles } = await show(everywhere(name));
      expect(await page.locator('h1').textContent()).toBe(name);
      expect(await page.locator('script, img, [onmouseover]').count()).toBe(0);
      expect(await page.locator('style').count()).toBe(1);
      expect(troubles).toEqual([]);
    },
  );

  test('very long names without a space are broken, not cut', async () => {
    const { page, troubles } = await show(everywhere('Wwordwithoutend'.repeat(12)));
    for (const format of ['A4', 'Letter'] as const) expect(await cutOff(page, format), format).toEqual([]);
    expect(troubles).toEqual([]);
  });
});
