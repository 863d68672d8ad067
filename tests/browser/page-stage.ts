import { fileURLToPath } from 'node:url';
import type { Browser, Page } from 'playwright-core';
import { afterAll, afterEach, beforeAll, beforeEach } from 'vitest';
import type { Tuning } from '../../src/core/protocol/index.js';
import { launch, type PageWatch, watchPage } from './chromium.js';
import { ScriptedServer } from './scripted-server.js';
import { ScriptedSession } from './scripted-session.js';

/** The built page. */
export const PAGE_FOLDER = fileURLToPath(new URL('../../dist/page', import.meta.url));
/** One pass of the warm-up: 20 quarters at 80 a minute. */
export const PASS_MS = 15_000;
/** What an action may take on a machine that has much else to do. */
const PATIENCE_MS = 20_000;

/** What an element shows: explanations that are folded away don't count. */
export function readSeen(element: Element): string {
  // biome-ignore lint/performance/useDomNodeTextContent: what isn't shown is to be left out
  return element instanceof HTMLElement ? element.innerText : (element.textContent ?? '');
}

/** A figure of the page as a number. @example toCents('−21.5')  // -21.5 */
export function toCents(figure: string): number {
  return Number.parseFloat(figure.replace('−', '-'));
}

/** A page on a scripted session, new for each test of the file. */
export class PageStage {
  browser!: Browser;
  server!: ScriptedServer;
  page!: Page;
  watch!: PageWatch;

  /** Loads the page, as a player unless told otherwise, and waits until there is something to do or to read. */
  async open(url = this.server.playerUrl): Promise<void> {
    await this.page.goto(url);
    await this.page.waitForSelector('.hear-row, .stage');
  }

  /** The text of the first element there is. */
  async text(selector: string): Promise<string> {
    return this.page.locator(selector).first().evaluate(readSeen);
  }

  /** The tuning that is chosen in the row of tunings. */
  heard(): Promise<string> {
    return this.page.locator('.hear-row label:has(input:checked)').evaluate((label) => label.className);
  }

  /** Chooses a tuning. */
  async hear(tuning: Tuning): Promise<void> {
    await this.page.locator(`.hear-row label.${tuning}`).click();
  }

  /** The figures of the row of tunings, in cents: 12 equal, free, pull, anchored, temper. */
  async figures(): Promise<number[]> {
    return (await this.page.locator('.tile .cents').allTextContents()).map(toCents);
  }

  /** Whether the chord is one that has ended. */
  async isSilent(): Promise<boolean> {
    return (await this.page.locator('.chord.past').count()) === 1;
  }

  /** What the end of a line says, in cents. */
  async centsOf(line: 'free' | 'pull' | 'anchored'): Promise<number> {
    return toCents((await this.text(`.line-end.${line}`)).replace(/^\S+ /, ''));
  }

  /** Names of the notes on the ladder, from the lowest up. */
  names(): Promise<string[]> {
    return this.page.locator('.ladder .name').allTextContents();
  }
}

/** Sets a stage up for every test of the file, and takes it down. */
export function usePageStage(): PageStage {
  const stage = new PageStage();
  beforeAll(async () => {
    stage.browser = await launch();
  });
  afterAll(() => stage.browser?.close());
  beforeEach(async () => {
    stage.server = new ScriptedServer(new ScriptedSession(), PAGE_FOLDER);
    await stage.server.start();
    stage.page = await stage.browser.newPage({ viewport: { width: 1280, height: 720 } });
    stage.page.setDefaultTimeout(PATIENCE_MS);
    stage.watch = watchPage(stage.page);
  });
  afterEach(async () => {
    await stage.page?.close();
    await stage.server?.stop();
  });
  return stage;
}
