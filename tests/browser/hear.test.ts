import { readFileSync } from 'node:fs';
import { describe, expect, test } from 'vitest';
import { TUNINGS } from '../../src/core/protocol/index.js';
import { toCents } from './page-reader.js';
import { COMMA, useRealStage } from './real-stage.js';

const stage = useRealStage();
/** The place of `pull` in the row of tunings, and how fast it is drawn back. */
const PULL = 2;
const PULL_CENTS_A_SECOND = 3;
/** A moment after the first of five chords, each of three seconds. */
const FIRST_MS = 300;
const CHORD_MS = 3000;
const NAMES = { equal: '12 equal', free: 'free', pull: 'pull', anchored: 'anchored', temper: 'temper' };

test('choosing what is heard changes the sound and the large figure, and none of the five figures', async () => {
  await stage.open();
  await stage.page.keyboard.press('Space');
  await stage.feed.sees('the piece', ({ playing }) => playing !== null);
  stage.order({ act: 'tempo', value: 4 });
  await stage.feed.sees('the third pass', ({ playing, notes }) => playing?.pass.n === 3 && notes.length > 0);
  await stage.page.keyboard.press('Space');
  await stage.shows('.play', 'Go on');
  await expect.poll(async () => (await stage.figures())[1]).toBeCloseTo(stage.frame.drift.free.leftCents, 1);
  const before = await stage.figures();
  const beforeMs = performance.now();
  expect(before[0]).toBe(0);
  expect(before[1]).toBeLessThanOrEqual(-43);
  for (const [i, tuning] of [...TUNINGS, ...TUNINGS].entries()) {
    await stage.hear(tuning);
    const sounding = tuning === 'equal' ? null : tuning;
    const frame = await stage.feed.sees(`${tuning} sent to MIDI`, (one) => one.sounding === sounding);
    // In 12 equal the facts of the strategy before stand.
    for (const { fromEqual, cents } of sounding === null ? [] : frame.notes)
      expect(fromEqual).toBeCloseTo(cents[tuning] - cents.equal, 2);
    await expect.poll(() => stage.heard()).toContain(tuning);
    await stage.shows('.drift .caption', `Drift of ${NAMES[tuning]}`);
    await stage.shows('.tuning-of', `in ${NAMES[tuning]}`);
    const now = await stage.figures();
    const pulled = 0.1 + (PULL_CENTS_A_SECOND * (performance.now() - beforeMs)) / 1000;
    for (const [at, cents] of now.entries()) {
      const most = at === PULL ? pulled : 0.05;
      expect(Math.abs(cents - before[at]), `${TUNINGS[at]} when ${tuning} is heard`).toBeLessThan(most);
    }
    // The heard tuning's tile, the large figure, and what goes to MIDI are one.
    const large = toCents(await stage.text('.figure .number'));
    expect(Math.abs(large - now[i % TUNINGS.length])).toBeLessThan(tuning === 'pull' ? 1 : 0.05);
  }
  stage.expectCalm();
});

test('the chord shows the pitches of the tuning that is heard', async () => {
  await stage.open();
  await stage.standAt(3, FIRST_MS);
  for (const tuning of ['equal', 'free', 'anchored', 'temper'] as const) {
    await stage.hear(tuning);
    await stage.shows('.tuning-of', `in ${NAMES[tuning]}`);
    const wanted = stage.frame.notes.map(({ cents }) => cents[tuning] - cents.equal);
    await expect
      .poll(async () => {
        const shown = (await stage.page.locator('.ladder .cents').allTextContents()).map(toCents);
        return shown.length === wanted.length
          ? Math.max(...shown.map((cents, i) => Math.abs(cents - wanted[i])))
          : Infinity;
      })
      .toBeLessThan(0.06);
  }
});

describe('the comma pump', () => {
  test('says N commas after N passes, in words, figure, curve and saved table, whatever the chord', async () => {
    await stage.open();
    await stage.hear('free');
    await stage.standAt(1, FIRST_MS);
    await stage.page.locator('.fold.save summary').click();
    let last = 0;
    for (let chord = 0; chord < 21; chord++) {
      const pass = 1 + Math.floor(chord / 5);
      const frame = await stage.stands(pass, chord === 0 ? FIRST_MS : (chord % 5) * CHORD_MS);
      const { leftCents } = frame.drift.free;
      // Whole commas only, one more a pass, and none is taken back.
      const commas = Math.abs(Math.round(leftCents / COMMA));
      expect(leftCents).toBeCloseTo(-commas * COMMA, 1);
      expect(commas).toBeGreaterThanOrEqual(pass - 1);
      expect(commas).toBeLessThanOrEqual(pass);
      expect(commas).toBeGreaterThanOrEqual(last);
      if (chord % 5 === 0) expect(commas).toBe(pass - 1);
      last = commas;
      const cents = Number(leftCents.toFixed(1));
      await expect.poll(async () => toCents(await stage.text('.figure .number'))).toBeCloseTo(cents, 1);
      await expect.poll(() => stage.centsOf('free')).toBeCloseTo(cents, 1);
      expect((await stage.figures())[1]).toBeCloseTo(cents, 1);
      if (pass > 1) {
        const low = ((pass - 1) * COMMA).toFixed(1);
        const passes = pass === 2 ? '1 pass' : `${pass - 1} passes`;
        await stage.shows('.headline', `After ${passes} free was ${low} cents low.`);
      }
      if (commas > 0) {
        const moved = commas === 1 ? 'one syntonic comma' : `${commas} syntonic commas`;
        await stage.shows('.exact', `The chords moved ${moved} lower: ${(commas * COMMA).toFixed(1)} cents.`);
      }
      if (chord % 5 === 2) expect(await readSavedDrift()).toBeCloseTo(leftCents, 2);
      await stage.page.keyboard.press('ArrowRight');
    }
    expect(last).toBe(4);
    stage.expectCalm();
  });

  test.each(['a piece after another', 'the piece started over', 'the piece stopped and started again'])(
    'begins at 0 under every tuning with %s',
    async (how) => {
      await stage.open();
      await stage.standAt(3, FIRST_MS);
      await expect.poll(async () => (await stage.figures())[1]).toBeLessThan(-40);
      const { page } = stage;
      if (how === 'a piece after another') {
        await page.locator('.transport select').selectOption('trio-of-thirds');
        await stage.feed.sees(
          'the trio',
          ({ playing, notes }) => playing?.name === 'trio-of-thirds' && notes.length > 0,
        );
        await page.keyboard.press('Home');
      } else if (how === 'the piece started over') await page.keyboard.press('Home');
      else {
        await page.getByRole('button', { name: 'Stop' }).click();
        await stage.feed.sees('silence', ({ playing }) => playing === null);
        await stage.page.getByRole('button', { name: 'Play', exact: true }).click();
      }
      const frame = await stage.feed.sees(
        'the first chord',
        ({ playing, notes }) => playing?.pass.n === 1 && playing.positionMs < 2500 && notes.length > 0,
      );
      expect(frame.drift.free.leftCents).toBeCloseTo(0, 3);
      await expect.poll(() => stage.figures()).toEqual([0, 0, 0, 0, 0]);
    },
  );
});

/** The last drift of free in the saved table. */
async function readSavedDrift(): Promise<number> {
  const [download] = await Promise.all([
    stage.page.waitForEvent('download'),
    stage.page.getByRole('button', { name: 'Session as CSV' }).click(),
  ]);
  const [head, ...rows] = readFileSync(await download.path(), 'utf8')
    .trim()
    .split('\r\n');
  const columns = head.split(',');
  const drift = rows.map((row) => row.split(',')).filter((row) => row[columns.indexOf('what')] === 'drift');
  return Number(drift.at(-1)?.[columns.indexOf('free')]);
}
