import type { Page } from 'playwright-core';
import type { Tuning } from '../../src/core/protocol/index.js';

/** What an element shows: explanations that are folded away don't count. */
function readSeen(element: Element): string {
  // biome-ignore lint/performance/useDomNodeTextContent: what isn't shown is to be left out
  return element instanceof HTMLElement ? element.innerText : (element.textContent ?? '');
}

/** A figure of the page as a number. @example toCents('−21.5')  // -21.5 */
export function toCents(figure: string): number {
  return Number.parseFloat(figure.replace('−', '-'));
}

/** Reads what a page shows, and chooses what it sounds. */
export class PageReader {
  page!: Page;

  constructor(page?: Page) {
    if (page !== undefined) this.page = page;
  }

  /** Loads the page and waits until there is something to do or to read. */
  async load(url: string): Promise<void> {
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
