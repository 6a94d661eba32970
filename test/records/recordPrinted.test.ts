/** The page in a browser, on the screen and on paper. */
import { readFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import type { Browser, Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, onTestFinished, test } from 'vitest';
import { recordHtml } from '../../src/records/record/recordHtml.tsx';
import { launchBrowser, noBrowser } from '../browser.ts';
import { facedWith, longFacts, recordOf, sampleRecords } from './sampleRecords.ts';

const AXE = readFileSync(createRequire(import.meta.url).resolve('axe-core/axe.min.js'), 'utf8');

const FORMATS = ['A4', 'Letter'] as const;
type Format = (typeof FORMATS)[number];

/** What the paper leaves between the margins of the style (13 mm at the sides, 14 above, 17 below), in CSS pixels. */
const mm = (of: number) => (of / 25.4) * 96;
const PAPER: Record<Format, { readonly width: number; readonly height: number }> = {
  A4: { width: mm(210 - 26), height: mm(297 - 31) },
  Letter: { width: mm(215.9 - 26), height: mm(279.4 - 31) },
};

const title = `in a browser${noBrowser ? ` (skipped: ${noBrowser})` : ''}`;

describe.skipIf(noBrowser !== undefined)(title, () => {
  let browser: Browser;
  beforeAll(async () => {
    browser = await launchBrowser();
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

  async function pagesOf(page: Page, format: Format): Promise<number> {
    const pdf = await page.pdf({ format, preferCSSPageSize: true });
    return pdf.toString('latin1').match(/\/Type\s*\/Page\b(?!s)/g)?.length ?? 0;
  }

  function styleOf(page: Page, element: string, property: string): Promise<unknown> {
    return page.evaluate(`getComputedStyle(document.querySelector('${element}')).${property}`);
  }

  async function layOut(page: Page, format: Format): Promise<void> {
    await page.emulateMedia({ media: 'print' });
    await page.setViewportSize({ width: Math.floor(PAPER[format].width), height: 900 });
  }

  /** What is wider than its place when printed. A label in a chart has to keep within its chart. */
  async function cutOff(page: Page, format: Format): Promise<string[]> {
    await layOut(page, format);
    return page.evaluate(
      `[...document.querySelectorAll('html, body, body *')].filter((it) => {
        const chart = it.closest('svg');
        const [box, place] = [it.getBoundingClientRect(), (chart ?? document.documentElement).getBoundingClientRect()];
        const isWide = chart === null && it.clientWidth > 0 && it.scrollWidth > it.clientWidth;
        return isWide || box.right > place.right + 0.5 || (chart !== null && box.left < place.left - 0.5);
      }).map((it) => it.outerHTML.slice(0, 200))`,
    );
  }

  /** What a page's end might cut: rows, charts, sentences that may be broken, or are too tall for any page. */
  async function breakable(page: Page, format: Format): Promise<string[]> {
    await layOut(page, format);
    return page.evaluate(
      `[...document.querySelectorAll('svg, figure, figcaption, tbody, tfoot, li, .signatures, .seal')].filter((it) => {
        let whole = it;
        while (whole !== null && getComputedStyle(whole).breakInside !== 'avoid') whole = whole.parentElement;
        return whole === null || whole.getBoundingClientRect().height > ${Math.floor(PAPER[format].height)};
      }).map((it) => it.outerHTML.slice(0, 200))`,
    );
  }

  async function barriers(page: Page): Promise<string[]> {
    await page.evaluate(AXE);
    return page.evaluate(
      `axe.run().then(({ violations }) => violations
        .filter(({ impact }) => impact === 'serious' || impact === 'critical')
        .map(({ id, nodes }) => id + ': ' + nodes.map(({ html }) => html).join(' ').slice(0, 300)))`,
    );
  }

  test.each([
    ['with traces, and bars weighed off and weighed again', 4],
    ['made larger by a rescue', 5],
  ] as const)('a record %s: styled, silent, nothing fetched, nothing cut, no barrier', async (name, most) => {
    const { page, troubles } = await show(recordHtml(sampleRecords[name]?.() ?? recordOf([])));
    expect(await page.title()).toMatch(/^Batch record 2026-/);
    expect(await styleOf(page, 'table', 'borderCollapse')).toBe('collapse');
    expect(await barriers(page)).toEqual([]);
    for (const format of FORMATS) {
      const pages = await pagesOf(page, format);
      expect(pages, format).toBeGreaterThan(1);
      expect(pages, format).toBeLessThanOrEqual(most);
      expect(await cutOff(page, format), format).toEqual([]);
      expect(await breakable(page, format), format).toEqual([]);
    }
    // Nobody signs a page that holds nothing but the place to sign.
    expect(await styleOf(page, 'footer', 'breakBefore')).toBe('avoid');
    expect(await styleOf(page, 'footer', 'breakInside')).toBe('avoid');
    expect(troubles).toEqual([]);
  });

  test('sixty draws: several pages, the head of the table on each', async () => {
    const { page, troubles } = await show(recordHtml(recordOf(longFacts(60))));
    const pages = await pagesOf(page, 'A4');
    expect(pages).toBeGreaterThanOrEqual(3);
    expect(pages).toBeLessThanOrEqual(6);
    expect(await styleOf(page, 'thead', 'display')).toBe('table-header-group');
    expect(troubles).toEqual([]);
  });

  test('hostile names are shown and not run, in charts too', async () => {
    const name = '" onmouseover="alert(1)</svg></style><script>alert(1)</script><img src=x onerror=alert(1)>';
    const { page, troubles } = await show(recordHtml(recordOf(facedWith(name))));
    expect(await page.locator('h1').textContent()).toBe(name);
    expect(await page.locator('svg text', { hasText: '" onmouse' }).count()).toBeGreaterThan(0);
    expect(await page.locator('svg', { has: page.locator('title, a, foreignObject') }).count()).toBe(0);
    expect(await page.locator('script, img, [onmouseover]').count()).toBe(0);
    expect(await page.locator('style').count()).toBe(1);
    expect(troubles).toEqual([]);
  });

  test('very long names without a space are broken, not cut', async () => {
    const { page, troubles } = await show(recordHtml(recordOf(facedWith('Wwordwithoutend'.repeat(12)))));
    for (const format of FORMATS) expect(await cutOff(page, format), format).toEqual([]);
    expect(troubles).toEqual([]);
  });
});
