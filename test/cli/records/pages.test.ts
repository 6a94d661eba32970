/** The small site of all records: what it writes and what it leaves alone, and how it is in a browser. */
import {
  existsSync,
  mkdirSync,
  readdirSync,
  readFileSync,
  rmSync,
  statSync,
  symlinkSync,
  writeFileSync,
} from 'node:fs';
import { createRequire } from 'node:module';
import { dirname, join, relative } from 'node:path';
import { pathToFileURL } from 'node:url';
import fc from 'fast-check';
import type { Browser, BrowserContextOptions } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, onTestFinished, test } from 'vitest';
import { pages } from '../../../src/cli/records/pages.ts';
import { STOCK } from '../../../src/facts/fact.ts';
import { openLog } from '../../../src/records/batchLog.ts';
import { LOG_FILE } from '../../../src/records/logFile.ts';
import { pageName } from '../../../src/records/pages/pageName.ts';
import { SITE_LIST } from '../../../src/records/pages/siteFolder.ts';
import { launchBrowser, noBrowser } from '../../browser.ts';
import { batchId, fill } from '../../insight/busyWorkshop.ts';
import { IN_MEMORY, tempFolder } from '../../records/tempFolder.ts';
import { printed } from '../printed.ts';

const HOSTILE = '"><img src=x onerror=alert(1)></style><script>alert(1)</script>=1+1';

async function workshop(batches: number, name?: string): Promise<string> {
  const folder = tempFolder(IN_MEMORY);
  let now = Date.UTC(2026, 0, 5, 9);
  const tick = () => {
    now += 3_600_000;
    return new Date(now);
  };
  const log = openLog(join(folder, LOG_FILE), { now: tick });
  await fill(log, name === undefined ? { batches } : { batches, name });
  log.close();
  return folder;
}

/** What the command prints at its end. */
const told = (site: string, folder: string) => printed(() => pages(site, { in: folder }));

/** All files of a folder, by their path in it. */
function filesIn(folder: string): string[] {
  return readdirSync(folder, { recursive: true, withFileTypes: true })
    .filter((each) => !each.isDirectory())
    .map((each) => relative(folder, join(each.parentPath, each.name)))
    .sort();
}

const linksIn = (html: string) => [...html.matchAll(/href="([^"]*)"/g)].map(([, href]) => href ?? '');

describe('what is written', () => {
  test('an index, a record and the lots of each batch, a sheet for each lot, and what was learnt; all links lead there', async () => {
    const [folder, site] = [await workshop(3), join(tempFolder(IN_MEMORY), 'site')];
    expect(await told(site, folder)).toMatch(/index\.html: 12 pages written, 0 were right already/);
    const files = filesIn(site);
    expect(files).toContain('index.html');
    expect(files).toContain(join('batch', `${batchId(0)}.html`));
    expect(files.filter((file) => file.startsWith('lot'))).toHaveLength(4); // with lots.html
    for (const file of files.filter((each) => each.endsWith('.html'))) {
      const links = linksIn(readFileSync(join(site, file), 'utf8'));
      expect(links.length, file).toBeGreaterThan(0);
      for (const href of links) expect(existsSync(join(site, dirname(file), href)), `${file}: ${href}`).toBe(true);
    }
  });

  test('only what has changed is written again', async () => {
    const [folder, site] = [await workshop(4), tempFolder(IN_MEMORY)];
    await told(site, folder);
    const times = () => new Map(filesIn(site).map((file) => [file, statSync(join(site, file)).mtimeMs]));
    const before = times();
    expect(await told(site, folder)).toMatch(/: 0 pages written, \d+ were right already/);
    const log = openLog(join(folder, LOG_FILE));
    await log.append(batchId(1), 'Jon', [
      { kind: 'corrected', corrects: 2, note: 'the lot was GL-9', reason: 'misread' },
    ]);
    log.close();
    await told(site, folder);
    const after = times();
    expect(after.get(join('batch', `${batchId(1)}.html`))).not.toBe(before.get(join('batch', `${batchId(1)}.html`)));
    for (const same of [0, 2, 3].map((at) => join('batch', `${batchId(at)}.html`))) {
      expect(after.get(same), same).toBe(before.get(same));
    }
  });

  test('each page says on what day that was known, and is not written anew for another day alone', async () => {
    const [folder, site] = [await workshop(2), tempFolder(IN_MEMORY)];
    await told(site, folder);
    const lots = filesIn(site).filter((file) => file.startsWith('lot/'));
    const dated = (file: string) =>
      /class="asof">as known on ([^<]*)</.exec(readFileSync(join(site, file), 'utf8'))?.[1] ?? 'not dated';
    const first = dated('index.html');
    expect(first).toMatch(/^2026-\d\d-\d\d \d\d:\d\d:\d\d /);
    for (const file of [...lots, join('batch', `${batchId(0)}-lots.html`)]) expect(dated(file)).toBe(first);
    const blocked = async (ingredient: string, lot: string) => {
      const log = openLog(join(folder, LOG_FILE), { now: () => new Date('2027-03-01T09:00:00Z') });
      await log.append(STOCK, 'Jon', [{ kind: 'lot-blocked', ingredient, lot, reason: 'smells old' }]);
      log.close();
      return told(site, folder);
    };
    // Of no batch here: only the two indexes say that they know it.
    expect(await blocked('beeswax', 'BW-1')).toMatch(/: 2 pages written/);
    expect(dated('index.html')).toMatch(/^2027-03-01/);
    for (const file of lots) expect(dated(file)).toBe(first);
    const reader = openLog(join(folder, LOG_FILE), { readOnly: true });
    const { ingredient, lot } = reader.traced((look) => look.usesOfBatch(batchId(0)))[0] ?? { ingredient: '', lot: '' };
    reader.close();
    await blocked(ingredient, lot);
    expect(dated(join('lot', pageName(ingredient, lot)))).toMatch(/^2027-03-01/);
    expect(await told(site, folder)).toMatch(/: 0 pages written/);
  });

  test('a page that was damaged, or lost, or left half by a run that was stopped, is put right', async () => {
    const [folder, site] = [await workshop(3), tempFolder(IN_MEMORY)];
    await told(site, folder);
    const whole = new Map(filesIn(site).map((file) => [file, readFileSync(join(site, file), 'utf8')]));
    writeFileSync(join(site, 'batch', `${batchId(0)}.html`), 'half of a pa');
    rmSync(join(site, 'batch', `${batchId(1)}.html`));
    writeFileSync(join(site, 'lot', '.bismar-123.part'), 'half');
    await told(site, folder);
    expect(new Map(filesIn(site).map((file) => [file, readFileSync(join(site, file), 'utf8')]))).toEqual(whole);
    // A run that was stopped right after its list was written: all its pages are still ours.
    const list = join(site, SITE_LIST);
    writeFileSync(list, readFileSync(list, 'utf8').replace(/"[A-Za-z0-9_-]{43}"/g, '""'));
    expect(await told(site, folder)).toMatch(/: 0 pages written/);
  });
});

describe('what is left alone', () => {
  test('a folder with other files', async () => {
    const [folder, site] = [await workshop(1), tempFolder()];
    writeFileSync(join(site, 'holiday.jpg'), 'mine');
    await expect(pages(site, { in: folder })).rejects.toThrow(/holds other files \(holiday.jpg\). Nothing was written/);
    expect(filesIn(site)).toEqual(['holiday.jpg']);
  });

  test('a file of another in the place of a page', async () => {
    const [folder, site] = [await workshop(1), tempFolder()];
    await told(site, folder);
    const mine = join(site, 'batch', `${batchId(1)}.html`);
    writeFileSync(mine, 'mine');
    const log = openLog(join(folder, LOG_FILE));
    await fill(log, { batches: 0 });
    const [first] = log.facts(batchId(0));
    if (first?.kind === 'batch-started') {
      await log.append(batchId(1), 'Jon', [{ kind: 'batch-started', plan: first.plan }]);
    }
    log.close();
    await expect(pages(site, { in: folder })).rejects.toThrow(/is there already, and bismar did not write it/);
    expect(readFileSync(mine, 'utf8')).toBe('mine');
  });

  test('what a link in the folder leads to', async () => {
    const [folder, site, other] = [await workshop(1), tempFolder(), tempFolder()];
    await told(site, folder);
    rmSync(join(site, 'lot'), { recursive: true });
    symlinkSync(other, join(site, 'lot'));
    await expect(pages(site, { in: folder })).rejects.toThrow(/is a link to another place/);
    expect(filesIn(other)).toEqual([]);
    rmSync(join(site, 'lot'));
    const mine = join(other, 'mine.html');
    writeFileSync(mine, 'mine');
    rmSync(join(site, 'index.html'));
    symlinkSync(mine, join(site, 'index.html'));
    await told(site, folder);
    expect(readFileSync(mine, 'utf8')).toBe('mine');
    expect(readFileSync(join(site, 'index.html'), 'utf8')).toContain('<!doctype html>');
  });

  test('a file that stands where the folder should be', async () => {
    const [folder, parent] = [await workshop(1), tempFolder()];
    writeFileSync(join(parent, 'site'), 'mine');
    await expect(pages(join(parent, 'site'), { in: folder })).rejects.toThrow(/a file is in the way/);
    mkdirSync(join(parent, 'empty'));
    await told(join(parent, 'empty'), folder);
  });
});

test('names of pages are safe, short, and never the same for two things, whatever the ids are', () => {
  const id = fc.oneof(
    fc.string({ unit: fc.constantFrom(...'aB0-._/\\: \u0000\u202e中é%'), maxLength: 60 }),
    fc.constantFrom('..', '/', 'CON', 'a/b', 'SA-88', 'sa-88', '2026-11-25-1'),
  );
  fc.assert(
    fc.property(id, id, id, (a, b, c) => {
      const names = [pageName(a), pageName(a, b), pageName(b, c), pageName(c)];
      for (const name of names) expect(name).toMatch(/^[a-z0-9][a-z0-9-]{0,70}\.html$/);
      expect(pageName(a) === pageName(b)).toBe(a === b);
      expect(pageName(a, b) === pageName(b, c)).toBe(a === b && b === c);
    }),
    { numRuns: 40 },
  );
  expect(pageName('2026-11-25-1')).toBe('2026-11-25-1.html');
});

const AXE = readFileSync(createRequire(import.meta.url).resolve('axe-core/axe.min.js'), 'utf8');

const title = `in a browser, from the disk${noBrowser ? ` (skipped: ${noBrowser})` : ''}`;

describe.skipIf(noBrowser !== undefined)(title, () => {
  let browser: Browser;
  beforeAll(async () => {
    browser = await launchBrowser();
  });
  afterAll(() => browser?.close());

  /** Shows a page; everything that it complains of or fetches from elsewhere is gathered. */
  async function show(file: string, options: BrowserContextOptions = {}) {
    const context = await browser.newContext(options);
    onTestFinished(() => context.close());
    const page = await context.newPage();
    const troubles: string[] = [];
    page.on('console', (message) => troubles.push(message.text()));
    page.on('pageerror', (error) => troubles.push(error.message));
    page.on('dialog', (dialog) => {
      troubles.push(dialog.message());
      void dialog.dismiss();
    });
    page.on('request', (request) => {
      if (!request.isNavigationRequest()) troubles.push(`asked for ${request.url()}`);
    });
    await page.goto(pathToFileURL(file).href);
    return { page, troubles };
  }

  const barriers = `axe.run().then(({ violations }) => violations
    .filter(({ impact }) => impact === 'serious' || impact === 'critical')
    .map(({ id, nodes }) => id + ': ' + nodes.map(({ html }) => html).join(' ').slice(0, 300)))`;

  test('the index is searched without a network, links lead on, and no page has a barrier', async () => {
    const [folder, site] = [await workshop(20), tempFolder(IN_MEMORY)];
    await told(site, folder);
    const { page, troubles } = await show(join(site, 'index.html'));
    const shown = page.locator('tbody:visible');
    expect(await shown.count()).toBe(20);
    await page.locator('#search').fill('gl-2 2026-01-1');
    expect(await shown.count()).toBe(9); // the second lot of glycerin, from the tenth batch to the eighteenth
    expect(await page.locator('output').textContent()).toBe('9 of 20');
    await page.locator('tbody:visible a').first().click();
    expect(await page.title()).toMatch(/^Batch record 2026-01-1/);
    await page.locator('nav a').nth(1).click();
    expect(await page.title()).toMatch(/^Lots of batch 2026-01-1/);
    await page.locator('td a').first().click();
    expect(await page.title()).toMatch(/^Trace of lot/);
    const [lot] = filesIn(join(site, 'lot'));
    for (const file of ['index.html', 'lots.html', 'insight.html', `batch/${batchId(3)}-lots.html`, `lot/${lot}`]) {
      await page.goto(pathToFileURL(join(site, file)).href);
      await page.evaluate(AXE);
      expect(await page.evaluate(barriers), file).toEqual([]);
      // Printed, the margins of an A4 page leave 184 mm.
      await page.setViewportSize({ width: 695, height: 900 });
      for (const media of ['screen', 'print'] as const) {
        await page.emulateMedia({ media });
        expect(await page.evaluate('document.documentElement.scrollWidth <= innerWidth'), file).toBe(true);
      }
    }
    expect(troubles).toEqual([]);
  });

  test('the index is of use without its script', async () => {
    const [folder, site] = [await workshop(2), tempFolder(IN_MEMORY)];
    await told(site, folder);
    const { page } = await show(join(site, 'index.html'), { javaScriptEnabled: false });
    expect(await page.locator('tbody:visible a').count()).toBe(4);
    expect(await page.locator('.search:visible').count()).toBe(0);
  });

  test('hostile names are shown and not run, on every page', async () => {
    const [folder, site] = [await workshop(3, HOSTILE), tempFolder(IN_MEMORY)];
    await told(site, folder);
    const { page, troubles } = await show(join(site, 'index.html'));
    await page.locator('#search').fill('onerror');
    expect(await page.locator('tbody:visible').count()).toBe(3);
    const [record, itsLots] = filesIn(join(site, 'batch')).map((file) => `batch/${file}`);
    const [lot] = filesIn(join(site, 'lot'));
    for (const file of ['lots.html', 'insight.html', record ?? '', itsLots ?? '', `lot/${lot}`]) {
      await page.goto(pathToFileURL(join(site, file)).href);
      expect(await page.locator('img, [onerror]').count(), file).toBe(0);
      expect(await page.locator('body').textContent(), file).toContain('alert(1)');
    }
    expect(troubles).toEqual([]);
  });
});
