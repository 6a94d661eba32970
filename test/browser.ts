/** A browser without a window, for the tests of pages. */
import { existsSync } from 'node:fs';
import { type Browser, chromium } from 'playwright-core';

const BROWSER = '/usr/bin/chromium';

/** Why there is none here; undefined when there is. */
export const noBrowser: string | undefined = existsSync(BROWSER) ? undefined : `${BROWSER} is not installed`;

/** Starts it; it fetches nothing by itself. */
export function launchBrowser(): Promise<Browser> {
  return chromium.launch({
    executablePath: BROWSER,
    args: [
      ...['--no-sandbox', '--headless', '--disable-gpu', '--disable-quic', '--no-first-run', '--disable-sync'],
      ...['--disable-background-networking', '--disable-component-update'],
    ],
  });
}
