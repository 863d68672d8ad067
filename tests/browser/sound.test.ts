import { fileURLToPath } from 'node:url';
import type { Browser, Page } from 'playwright-core';
import { build } from 'vite';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { numbers } from '../support/numbers.js';
import { launch } from './chromium.js';
import { measureAbove, measureHertz, measureLevel, RATE, toCents } from './pitch.js';
import type { EventLine } from './sound-entry.js';

/** What a note may be off: far below what an ear can tell, or a tuner show. */
const TOLERANCE_CENTS = 0.05;
const C4_CENTS = 6000;
const C4_HERTZ = 440 * 2 ** (-9 / 12);

let browser: Browser;
let page: Page;

beforeAll(async () => {
  const built = await build({
    configFile: false,
    logLevel: 'warn',
    build: {
      write: false,
      minify: false,
      lib: {
        entry: fileURLToPath(new URL('sound-entry.ts', import.meta.url)),
        formats: ['iife'],
        name: 'sound',
      },
    },
  });
  const [{ output }] = Array.isArray(built) ? built : [built as never];
  browser = await launch();
  page = await browser.newPage();
  await page.addScriptTag({ content: output[0].code });
});
afterAll(() => browser?.close());

async function render(
  voice: string,
  told: readonly EventLine[],
  seconds: number,
  limited = false,
): Promise<Float32Array> {
  const samples = await page.evaluate(
    ([name, list, length, through]) =>
      (globalThis as unknown as { renderSound: (...args: unknown[]) => Promise<number[]> }).renderSound(
        name,
        list,
        length,
        through,
      ),
    [voice, told, seconds, limited] as const,
  );
  return Float32Array.from(samples);
}

const just = (numerator: number, denominator: number) => C4_CENTS + 1200 * Math.log2(numerator / denominator);

test('the ruler that measures the sound reads a made-up tone to a thousandth of a cent, and would see a twentieth', () => {
  const tone = (hertz: number) =>
    Float32Array.from({ length: 3 * RATE }, (_, i) => Math.sin((2 * Math.PI * hertz * i) / RATE));
  for (const cents of [0, 0.05, -3.7, 12.4]) {
    const hertz = 330 * 2 ** (cents / 1200);
    expect(toCents(measureHertz(tone(hertz), 330, 1.5, 1), hertz)).toBeCloseTo(0, 3);
  }
});

describe.each(['reed', 'bowed', 'sung', 'struck'])('%s', (voice) => {
  test('plays each note of a just triad at its ratio', async () => {
    const told = [just(1, 1), just(5, 4), just(3, 2)].map(
      (cents, id): EventLine => ({ what: 'start', id, cents, at: 0.01 }),
    );
    const samples = await render(voice, told, 3);
    for (const ratio of [1, 5 / 4, 3 / 2]) {
      const measured = measureHertz(samples, C4_HERTZ * ratio, 1.6, 1.2);
      expect(Math.abs(toCents(measured, C4_HERTZ * ratio))).toBeLessThan(TOLERANCE_CENTS);
    }
  });
});

test('the check finds the third of a triad in 12 equal 13.7 cents off', async () => {
  const told = [0, 400, 700].map(
    (cents, id): EventLine => ({ what: 'start', id, cents: C4_CENTS + cents, at: 0.01 }),
  );
  const samples = await render('reed', told, 3);
  const third = measureHertz(samples, (C4_HERTZ * 5) / 4, 1.6, 1.2);
  expect(toCents(third, (C4_HERTZ * 5) / 4)).toBeCloseTo(13.686, 2);
});

test('a glide by a comma is even in cents all the way, and ends at its pitch', async () => {
  const comma = 1200 * Math.log2(80 / 81);
  const told: EventLine[] = [
    { what: 'start', id: 1, cents: C4_CENTS, at: 0.01 },
    { what: 'glide', id: 1, cents: C4_CENTS + comma, at: 1.5, seconds: 1 },
  ];
  const samples = await render('reed', told, 4);
  expect(Math.abs(toCents(measureHertz(samples, C4_HERTZ, 0.9, 1), C4_HERTZ))).toBeLessThan(TOLERANCE_CENTS);
  for (const share of [0.25, 0.5, 0.75]) {
    const wanted = C4_HERTZ * 2 ** ((share * comma) / 1200);
    const measured = measureHertz(samples, wanted, 1.5 + share, 0.2);
    expect(Math.abs(toCents(measured, wanted))).toBeLessThan(TOLERANCE_CENTS);
  }
  const end = (C4_HERTZ * 80) / 81;
  expect(Math.abs(toCents(measureHertz(samples, end, 3.2, 1), end))).toBeLessThan(TOLERANCE_CENTS);
});

test('a glide overtaken by another goes on from where it was', async () => {
  const told: EventLine[] = [
    { what: 'start', id: 1, cents: C4_CENTS, at: 0.01 },
    { what: 'glide', id: 1, cents: C4_CENTS + 40, at: 0.5, seconds: 1 },
    { what: 'glide', id: 1, cents: C4_CENTS, at: 1, seconds: 1 },
  ];
  const samples = await render('reed', told, 3);
  // A quarter of the way before it is overtaken, and half of the way after.
  for (const [cents, at] of numbers('10 0.75, 10 1.5, 0 2.5')) {
    const wanted = C4_HERTZ * 2 ** (cents / 1200);
    expect(Math.abs(toCents(measureHertz(samples, wanted, at, 0.2), wanted))).toBeLessThan(TOLERANCE_CENTS);
  }
});

describe('a crossfade', () => {
  const wanted = C4_HERTZ * 2 ** (21.5 / 1200);
  const told: EventLine[] = [
    { what: 'start', id: 1, cents: C4_CENTS, at: 0.01 },
    { what: 'glide', id: 1, cents: C4_CENTS + 10, at: 0.5, seconds: 0.3 },
    { what: 'crossfade', id: 1, cents: C4_CENTS + 21.5, at: 1.5003 },
  ];

  test('leads to the new pitch', async () => {
    const samples = await render('reed', told, 3);
    expect(Math.abs(toCents(measureHertz(samples, wanted, 2.3, 1), wanted))).toBeLessThan(TOLERANCE_CENTS);
  });

  test('has no click, and nothing beyond the highest harmonic', async () => {
    const samples = await render('reed', told, 3);
    const calm = measureAbove(samples, 1.2);
    expect(measureAbove(samples, 1.53)).toBeLessThan(20 * calm);
    // What a click would be.
    const cut = samples.slice().fill(0, 0, Math.round(1.53 * RATE));
    expect(measureAbove(cut, 1.53)).toBeGreaterThan(100 * calm);
  });

  test.each([1.5, 1.5007, 1.5013, 1.502, 1.5029])(
    'a note struck again at any point of its cycle has no gap: %f s',
    async (at) => {
      const samples = await render(
        'reed',
        [...told.slice(0, 2), { what: 'crossfade', id: 1, cents: C4_CENTS + 15, at }],
        2,
      );
      const before = measureLevel(samples, 1.3);
      for (let t = 1.49; t < 1.6; t += 0.004) expect(measureLevel(samples, t) / before).toBeGreaterThan(0.85);
    },
  );
});

test('the limiter limits sixteen loud notes to below full scale, and does not change their pitch', async () => {
  const told = Array.from(
    { length: 16 },
    (_, i): EventLine => ({ what: 'start', id: i, cents: 4800 + 200 * i, at: 0.01, velocity: 127 }),
  );
  const samples = await render('reed', told, 3, true);
  expect(samples.reduce((most, sample) => Math.max(most, Math.abs(sample)), 0)).toBeLessThan(1);
  const lowest = 440 * 2 ** ((4800 - 6900) / 1200);
  expect(Math.abs(toCents(measureHertz(samples, lowest, 1.6, 1.2), lowest))).toBeLessThan(TOLERANCE_CENTS);
});

test('a released note is silent soon after', async () => {
  const told: EventLine[] = [
    { what: 'start', id: 1, cents: C4_CENTS, at: 0.01 },
    { what: 'release', id: 1, at: 1 },
  ];
  const samples = await render('bowed', told, 2);
  const loudest = (from: number) =>
    samples.slice(from * RATE).reduce((most, sample) => Math.max(most, Math.abs(sample)), 0);
  expect(loudest(0.8)).toBeGreaterThan(0.02);
  expect(loudest(1.6)).toBeLessThan(1e-4);
});

test.each([0.03, 0.08, 0.5])('a bowed note released after %f s fades without a click', async (seconds) => {
  const samples = await render(
    'bowed',
    [
      { what: 'start', id: 1, cents: C4_CENTS, at: 0.5 },
      { what: 'release', id: 1, at: 0.5 + seconds },
    ],
    2,
  );
  const end = 0.5 + seconds;
  const before = measureLevel(samples, end - 0.008);
  expect(before).toBeGreaterThan(0.001);
  expect(measureLevel(samples, end + 0.012) / before).toBeGreaterThan(0.5);
  expect(measureLevel(samples, end + 0.012) / before).toBeLessThan(1.3);
});
