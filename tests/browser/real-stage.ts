import type { Browser, BrowserContextOptions, Page } from 'playwright-core';
import { afterAll, afterEach, beforeAll, beforeEach, expect } from 'vitest';
import type { Frame, PieceOrder } from '../../src/core/protocol/index.js';
import { FeedClient } from '../support/feed-client.js';
import { launch, type PageWatch, watchPage } from './chromium.js';
import { PageProcess } from './page-process.js';
import { PageReader } from './page-reader.js';

/** A whole program on a busy machine: whatever is waited for may take that long. */
const PATIENCE_MS = 30_000;
/** One syntonic comma, 81/80, in cents. */
export const COMMA = 21.506;

/** A page on the real program: one program a file, a new page and no music for each test. */
export class RealStage extends PageReader {
  browser!: Browser;
  leeway!: PageProcess;
  watch!: PageWatch;
  /** A lecturer's program that looks on, and may order. */
  feed!: FeedClient;

  /** Opens the page as the lecturer, and waits until it may drive the music. */
  async open(): Promise<void> {
    await this.load(this.leeway.playerUrl);
    await this.page.waitForSelector('.play:enabled');
  }

  /** Another page, in a browser context of its own, that starts without the token. */
  async openOther(url: string, options: BrowserContextOptions = {}): Promise<PageReader> {
    const page = await this.newPage(options);
    const other = new PageReader(page);
    await other.load(url);
    return other;
  }

  async newPage(options: BrowserContextOptions = {}): Promise<Page> {
    const page = await this.browser.newPage({ viewport: { width: 1280, height: 720 }, ...options });
    page.setDefaultTimeout(PATIENCE_MS);
    return page;
  }

  get frame(): Frame {
    return this.feed.frame!;
  }

  /** Orders something about the piece, other than by the page. */
  order(
    order: PieceOrder extends infer One ? (One extends PieceOrder ? Omit<One, 'type'> : never) : never,
  ): void {
    this.feed.send({ type: 'piece', ...order } as PieceOrder);
  }

  /** Starts the warm-up and pauses it at a place of a pass, which both the feed and the page show. */
  async standAt(pass: number, positionMs: number, name = 'choir-warm-up'): Promise<Frame> {
    this.order({ act: 'start', name, tempo: 1, loop: true });
    this.order({ act: 'pause', value: true });
    this.order({ act: 'seek', pass, value: positionMs });
    return this.stands(pass, positionMs);
  }

  /** Waits until the piece stands at a place. */
  async stands(pass: number, positionMs: number): Promise<Frame> {
    const frame = await this.feed.sees(
      `pass ${pass} at ${positionMs} ms`,
      ({ playing, notes }) =>
        playing?.isPaused === true &&
        playing.pass.n === pass &&
        Math.abs(playing.positionMs - positionMs) < 60 &&
        notes.length > 0 &&
        notes.every(({ presence }) => presence !== 'struck'),
    );
    // Who looks on has no such button.
    if ((await this.page.locator('.play').count()) > 0) await this.shows('.play', 'Go on');
    return frame;
  }

  /** Waits until an element's text is, or matches, something. */
  async shows(selector: string, words: string | RegExp): Promise<void> {
    const is = expect.poll(() => this.text(selector), { timeout: PATIENCE_MS, message: selector });
    if (typeof words === 'string') await is.toBe(words);
    else await is.toMatch(words);
  }

  /** Not a word of complaint, and nothing asked of anybody else. */
  expectCalm(): void {
    expect(this.watch.complaints).toEqual([]);
    expect(this.watch.requests.length).toBeGreaterThan(3);
    // Pictures that are saved have an address within the page.
    const others = this.watch.requests.filter((request) => !request.startsWith('blob:'));
    for (const request of others) expect(new URL(request).host).toBe(this.leeway.host);
  }
}

/** Starts the program and a browser for the tests of a file. @param argv what stands after the program's name */
export function useRealStage(argv: readonly string[] = ['live', '--page']): RealStage {
  const stage = new RealStage();
  beforeAll(async () => {
    [stage.browser, stage.leeway] = await Promise.all([launch(), PageProcess.start(argv)]);
    stage.feed = await new FeedClient(stage.leeway.feedAddress).isOpen();
    expect(await stage.feed.hello(stage.leeway.token)).toBe(true);
  });
  afterAll(async () => {
    stage.feed?.vanish();
    await stage.browser?.close();
    expect(await stage.leeway?.stop()).toBe(0);
  });
  beforeEach(async () => {
    stage.feed.send({ type: 'story', act: 'close' });
    stage.order({ act: 'stop' });
    stage.feed
      .send({ type: 'stage', act: 'view', value: 'all' })
      .send({ type: 'stage', act: 'only', value: [] })
      .send({ type: 'control', what: 'hear', value: 'anchored' });
    await stage.feed.sees(
      'silence',
      ({ playing, notes, sounding }) => playing === null && notes.length === 0 && sounding === 'anchored',
    );
    stage.page = await stage.newPage();
    stage.watch = watchPage(stage.page);
  });
  afterEach(async () => {
    for (const context of stage.browser?.contexts() ?? []) await context.close();
  });
  return stage;
}
