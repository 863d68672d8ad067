import { launch, watchPage } from '../browser/chromium.js';

/**
 * The page, open in a browser without a window, in a process of its own: `node page-looker.js URL`. Says `ready` when it
 * draws, and answers `report` with what the page complained of and where its figure of the drift stands.
 */
const [url = ''] = process.argv.slice(2);

/** What the page has to tell. */
export interface PageReport {
  readonly complaints: readonly string[];
  /** Requests that left the page's own address. */
  readonly strays: readonly string[];
  readonly drift: string;
  /** Memory of the page's script, in MiB. */
  readonly heap: number;
}

const browser = await launch();
const page = await browser.newPage({ viewport: { width: 1280, height: 720 } });
const watch = watchPage(page);
await page.goto(url);
await page.waitForSelector('.hear-row');
process.on('message', (what) => {
  if (what === 'report') void report();
});
process.on('disconnect', () => void browser.close().finally(() => process.exit()));
process.send?.('ready');

async function report(): Promise<void> {
  const { host } = new URL(url);
  const heap = Number(await page.evaluate('performance.memory ? performance.memory.usedJSHeapSize : 0'));
  const told: PageReport = {
    complaints: watch.complaints,
    strays: watch.requests.filter((request) => new URL(request).host !== host),
    drift:
      (await page
        .locator('.figure')
        .first()
        .textContent()
        .catch(() => null)) ?? '',
    heap: heap / 2 ** 20,
  };
  process.send?.(told);
}
