import type { Page } from 'playwright-core';

/** From the next page load on, counts the voices that were started and those that sound. */
export async function watchVoices(page: Page): Promise<void> {
  await page.addInitScript(() => {
    const voices = { started: 0, sounding: 0 };
    const { start } = OscillatorNode.prototype;
    OscillatorNode.prototype.start = function (at) {
      voices.started++;
      voices.sounding++;
      this.addEventListener('ended', () => voices.sounding--);
      start.call(this, at);
    };
    Object.assign(globalThis, { voices });
  });
}

/** How many voices were started so far, and how many sound. */
export function readVoices(page: Page): Promise<{ started: number; sounding: number }> {
  return page.evaluate(
    () => (globalThis as unknown as { voices: { started: number; sounding: number } }).voices,
  );
}
