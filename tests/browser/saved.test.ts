import { readFileSync } from 'node:fs';
import { expect, test } from 'vitest';
import { useRealStage } from './real-stage.js';

const stage = useRealStage();
const FIRST_MS = 300;

/** Presses a button of the menu. @returns the saved file */
async function save(name: string): Promise<{ file: string; bytes: Buffer }> {
  const [download] = await Promise.all([
    stage.page.waitForEvent('download'),
    stage.page.getByRole('button', { name, exact: true }).click(),
  ]);
  return { file: download.suggestedFilename(), bytes: readFileSync(await download.path()) };
}

test.each([
  ['free', 'free'],
  ['equal', '12 equal'],
] as const)(
  'a saved picture says what it shows, of which piece, in which tuning and when: %s',
  async (tuning, name) => {
    await stage.open();
    await stage.standAt(2, FIRST_MS);
    await stage.hear(tuning);
    await stage.shows('.tuning-of', `in ${name}`);
    await stage.page.locator('.fold.save summary').click();
    const today = new Date().toISOString().slice(0, 10);
    const { title } = stage.frame.playing!;
    for (const [what, file] of [
      ['Drift over time', 'drift'],
      ['Chord', 'chord'],
      ['Lattice', 'lattice'],
    ] as const) {
      const svg = await save(`${what} as SVG`);
      expect(svg.file).toMatch(new RegExp(`^leeway-${file}-\\d{4}-\\d\\d-\\d\\d-\\d{4}\\.svg$`));
      const words = await stage.page.evaluate((text) => {
        const drawing = new DOMParser().parseFromString(text, 'image/svg+xml');
        return [...drawing.querySelectorAll('text')].map((one) => one.textContent).join('\n');
      }, String(svg.bytes));
      expect(words).toContain(`${what}. ${title}, pass 2. Heard: ${name}. Leeway, ${today}`);
      // The same picture as pixels, wide enough for a slide.
      const png = await save(`${what} as PNG`);
      expect(png.file).toMatch(/\.png$/);
      expect(png.bytes.readUInt32BE(16)).toBe(2400);
      expect(png.bytes.length).toBeGreaterThan(20_000);
    }
    stage.expectCalm();
  },
);
