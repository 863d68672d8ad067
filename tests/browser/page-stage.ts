import { fileURLToPath } from 'node:url';
import type { Browser } from 'playwright-core';
import { afterAll, afterEach, beforeAll, beforeEach } from 'vitest';
import { launch, type PageWatch, watchPage } from './chromium.js';
import { PageReader } from './page-reader.js';
import { ScriptedServer } from './scripted-server.js';
import { ScriptedSession } from './scripted-session.js';

/** The built page. */
export const PAGE_FOLDER = fileURLToPath(new URL('../../dist/page', import.meta.url));
/** One pass of the warm-up: 20 quarters at 80 a minute. */
export const PASS_MS = 15_000;
/** What an action may take on a machine that has much else to do. */
const PATIENCE_MS = 20_000;

/** A page on a scripted session, new for each test of the file. */
export class PageStage extends PageReader {
  browser!: Browser;
  server!: ScriptedServer;
  watch!: PageWatch;

  /** Loads the page, as a player unless told otherwise, and waits until there is something to do or to read. */
  open(url = this.server.playerUrl): Promise<void> {
    return this.load(url);
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
