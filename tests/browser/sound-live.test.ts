import { expect, test } from 'vitest';
import type { Tuning } from '../../src/core/protocol/index.js';
import { launch } from './chromium.js';
import { PageReader } from './page-reader.js';
import { findClick, measureHertz, RATE, toCents, toDecibels } from './pitch.js';
import { useRealStage } from './real-stage.js';
import { readRecording, readSeconds, recordSound } from './recorder.js';

const stage = useRealStage();
const FIRST_MS = 300;
/** A = 440 Hz, in cents on the scale of MIDI keys. */
const A4_CENTS = 6900;

/** A page that is recorded, with the sound turned on. */
async function openRecorded(): Promise<void> {
  stage.page = await stage.newPage({ bypassCSP: true });
  await recordSound(stage.page);
  await stage.open();
  await stage.page.getByRole('button', { name: 'Turn the sound on' }).click();
  await expect.poll(() => readSeconds(stage.page)).toBeGreaterThan(0.2);
}

const waitSeconds = async (seconds: number) => {
  const from = await readSeconds(stage.page);
  await expect.poll(() => readSeconds(stage.page)).toBeGreaterThan(from + seconds);
};

test('the sound starts low: the first chord is between 36 and 22 decibels below full scale', async () => {
  await openRecorded();
  await stage.standAt(1, FIRST_MS);
  await waitSeconds(2);
  const { samples } = await readRecording(stage.page);
  const first = samples.findIndex((sample) => Math.abs(sample) > 0.0005);
  expect(first).toBeGreaterThan(0);
  const chord = samples.subarray(first, first + RATE);
  const level = toDecibels(Math.sqrt(chord.reduce((sum, sample) => sum + sample ** 2, 0) / chord.length));
  console.log(`The first chord: ${level.toFixed(1)} dB below full scale, rms.`);
  expect(level).toBeGreaterThan(-36);
  expect(level).toBeLessThan(-22);
});

test('100 ms after a click in the row of tunings each note sounds as its tuning shows, and nothing clicks', async () => {
  await openRecorded();
  await stage.standAt(3, FIRST_MS);
  // Pull draws back what sounds until it is near home, and then rests.
  await expect
    .poll(
      async () => {
        const before = stage.frame.notes[0]?.cents.pull;
        const { atMs } = stage.frame;
        await stage.feed.sees('a later frame', (frame) => frame.atMs > atMs + 500);
        return before !== undefined && stage.frame.notes[0].cents.pull === before;
      },
      { timeout: 60_000 },
    )
    .toBe(true);
  const row: Tuning[] = ['free', 'equal', 'pull', 'temper', 'anchored', 'equal', 'free', 'anchored'];
  const { pressed: earlier } = await readRecording(stage.page);
  for (const tuning of row) {
    await stage.hear(tuning);
    await waitSeconds(1.1);
  }
  const { samples, pressed, gaps } = await readRecording(stage.page);
  const clicks = pressed.slice(earlier.length);
  expect(clicks).toHaveLength(row.length);
  let [worst, loudest] = [0, -Infinity];
  let measured = 0;
  for (const [i, tuning] of row.entries()) {
    const isWhole = gaps.every(([from, to]) => to < clicks[i] - 0.05 || from > clicks[i] + 1);
    if (!isWhole) continue;
    measured++;
    for (const { cents } of stage.frame.notes) {
      const wanted = 440 * 2 ** ((cents[tuning] - A4_CENTS) / 1200);
      // The window is 0.9 s long and begins 100 ms after the click.
      const off = toCents(measureHertz(samples, wanted, clicks[i] + 0.1 + 0.45, 0.86), wanted);
      worst = Math.max(worst, Math.abs(off));
    }
    loudest = Math.max(loudest, toDecibels(findClick(samples, clicks[i] - 0.02, clicks[i] + 0.15)));
  }
  console.log(
    `The worst note is ${worst.toFixed(4)} cents off; the loudest click has ${loudest.toFixed(1)} dB.`,
  );
  expect(measured).toBeGreaterThanOrEqual(4);
  expect(worst).toBeLessThan(0.1);
  expect(loudest).toBeLessThan(-50);
  // A note that is cut off is heard by the same measure.
  const at = clicks[3] + 0.5;
  const cut = samples.slice();
  cut.fill(0, Math.round(at * RATE), Math.round((at + 0.1) * RATE));
  expect(toDecibels(findClick(cut, at - 0.05, at + 0.2))).toBeGreaterThan(-50);
}, 180_000);

test('the page says that its sound is off, that the browser holds it back, and that it is on', async () => {
  const browser = await launch('after a click');
  try {
    const page = await browser.newPage({ viewport: { width: 1280, height: 720 } });
    const reader = new PageReader(page);
    // A script presses the button: to the browser that is no gesture of a user. What a test evaluates would be one.
    await page.addInitScript(() => {
      const said: string[] = [];
      const look = () => {
        const button = document.querySelector<HTMLElement>('.sound button');
        if (button !== null && button.textContent !== said.at(-1)) {
          said.push(button.textContent);
          console.log(`sound: ${button.textContent}`);
          if (said.length === 1) button.click();
        }
        if (said.length < 2) requestAnimationFrame(look);
      };
      requestAnimationFrame(look);
    });
    const said: string[] = [];
    page.on('console', (message) => {
      const [, words] = /^sound: (.*)/.exec(message.text()) ?? [];
      if (words !== undefined) said.push(words);
    });
    await page.goto(stage.leeway.playerUrl);
    await expect
      .poll(() => said)
      .toEqual(['Turn the sound on', 'The browser holds the sound back: press here']);
    await page.locator('.sound button').first().click();
    await expect.poll(() => reader.text('.sound button')).toBe('Sound is on');
    await page.locator('.sound button').first().click();
    await expect.poll(() => reader.text('.sound button')).toBe('Turn the sound on');
  } finally {
    await browser.close();
  }
});
