import { describe, expect, test } from 'vitest';
import type { PlayingFact } from '../../src/core/protocol/index.js';
import { SHORTCUTS } from '../../src/page/lecture/shortcuts.js';
import { useRealStage } from './real-stage.js';

const stage = useRealStage();
const CHORD_MS = 3000;
const FIRST_MS = 300;

const keysOf = () => stage.frame.notes.map(({ key }) => key);
const idsOf = () => stage.frame.notes.map(({ id }) => id);
const press = (key: string) => stage.page.keyboard.press(key);
/** Waits until the piece is as it should be, with a chord. */
const sees = async (what: string, holds: (playing: PlayingFact) => boolean) => {
  const frame = await stage.feed.sees(what, ({ playing }) => playing !== null && holds(playing));
  return frame.playing!;
};

describe('by keyboard', () => {
  test('Space starts a piece, pauses it while its chord sounds on, and lets it go on', async () => {
    await stage.open();
    await press('Space');
    await stage.feed.sees('a chord', ({ playing, notes }) => playing !== null && notes.length === 4);
    await stage.shows('.play', 'Pause');
    await press('Space');
    const { positionMs } = await sees('a pause', ({ isPaused }) => isPaused);
    const ids = idsOf();
    expect(ids).toHaveLength(4);
    // Many frames later the same notes sound at the same place.
    const { atMs } = stage.frame;
    await stage.feed.sees('a later frame', (frame) => frame.atMs > atMs + 700);
    expect(idsOf()).toEqual(ids);
    expect(stage.frame.playing?.positionMs).toBe(positionMs);
    await stage.shows('.play', 'Go on');
    await press('Space');
    await sees('the piece going on', (playing) => !playing.isPaused && playing.positionMs > positionMs);
    stage.expectCalm();
  });

  test('arrow keys go to the next chord and to the one before, over the seam of two passes too', async () => {
    await stage.open();
    await stage.standAt(1, FIRST_MS);
    const chords = [keysOf()];
    for (let chord = 1; chord <= 6; chord++) {
      await press('ArrowRight');
      await stage.stands(1 + Math.floor(chord / 5), (chord % 5) * CHORD_MS);
      chords.push(keysOf());
    }
    // A pass has five chords, and then they come again.
    expect(new Set(chords.map(String)).size).toBe(5);
    expect(chords[5]).toEqual(chords[0]);
    expect(chords[6]).toEqual(chords[1]);
    for (let chord = 5; chord >= 3; chord--) {
      await press('ArrowLeft');
      await stage.stands(1 + Math.floor(chord / 5), (chord % 5) * CHORD_MS);
      expect(keysOf()).toEqual(chords[chord]);
    }
  });

  test('Home starts over, without drift', async () => {
    await stage.open();
    await stage.standAt(3, FIRST_MS);
    expect(stage.frame.drift.free.leftCents).toBeLessThan(-40);
    await press('Home');
    await sees('the first pass', ({ pass }) => pass.n === 1);
    await expect.poll(() => stage.frame.drift.free.leftCents).toBe(0);
  });

  test('L loops the bar that sounds, and then the whole piece again', async () => {
    await stage.open();
    await stage.standAt(1, CHORD_MS + FIRST_MS);
    const { lengthMs } = stage.frame.playing!;
    await press('l');
    const bar = await sees('a looped bar', ({ fromMs }) => fromMs === CHORD_MS);
    expect(bar.toMs - bar.fromMs).toBe(CHORD_MS);
    await stage.shows('.transport [aria-pressed="true"]', 'Loop the whole piece');
    await press('Space');
    const looped = await sees('the bar again', ({ pass }) => pass.n >= 2);
    expect(looped).toMatchObject({ fromMs: bar.fromMs, toMs: bar.toMs });
    await press('l');
    await sees('the whole piece', ({ fromMs, toMs }) => fromMs === 0 && toMs === lengthMs);
  });

  test('brackets change the tempo by a tenth, within a quarter and four times', async () => {
    await stage.open();
    await press('Space');
    await stage.shows('.play', 'Pause');
    await press(']');
    await sees('a quicker tempo', ({ tempo }) => Math.abs(tempo - 1.1) < 0.001);
    await stage.shows('.tempo output', '110 %');
    const tempoOf = () => stage.frame.playing!.tempo;
    for (const [key, end] of [
      ['[', 0.25],
      [']', 4],
    ] as const) {
      const pressOnce = async () => {
        await press(key);
        return tempoOf();
      };
      await expect.poll(pressOnce).toBe(end);
      await stage.shows('.tempo output', `${100 * end} %`);
    }
  });

  test('Shift and a digit choose what is heard, and letters play notes', async () => {
    await stage.open();
    for (const [digit, sounding] of [
      [1, null],
      [2, 'free'],
      [3, 'pull'],
      [5, 'temper'],
      [4, 'anchored'],
    ] as const) {
      await press(`Shift+Digit${digit}`);
      await stage.feed.sees(`${sounding}`, (frame) => frame.sounding === sounding);
    }
    await stage.page.keyboard.down('z');
    await stage.feed.sees('a C', ({ notes }) => notes.length === 1 && notes[0].key === 60);
    await stage.page.keyboard.up('z');
    await stage.feed.sees('silence', ({ notes }) => notes.length === 0);
  });

  test('a question mark shows every key there is, and Escape closes the list', async () => {
    await stage.open();
    await press('?');
    const rows = stage.page.locator('dialog.help tbody tr');
    await expect.poll(() => rows.count()).toBe(SHORTCUTS.length + 1);
    const shown = await rows.allTextContents();
    for (const { keys, does } of SHORTCUTS) expect(shown).toContain(`${keys}${does}`);
    await press('Escape');
    await expect.poll(() => stage.page.locator('dialog.help').count()).toBe(0);
    expect(new URL(stage.page.url()).hash).toBe('');
  });
});

describe('by mouse', () => {
  test('keys go on to work after a click on a button or a tuning, but for those it needs itself', async () => {
    await stage.open();
    await stage.standAt(1, FIRST_MS);
    const button = (name: string) => stage.page.getByRole('button', { name, exact: true });
    await button('Next chord').click();
    await stage.stands(1, CHORD_MS);
    await press('ArrowRight');
    await stage.stands(1, 2 * CHORD_MS);
    // A button's own key is Space.
    await press('Space');
    await stage.stands(1, 3 * CHORD_MS);
    await stage.hear('free');
    await stage.feed.sees('free', ({ sounding }) => sounding === 'free');
    await press('Space');
    await sees('the piece going on', ({ isPaused }) => !isPaused);
    // Arrows are the row's own: they choose the tuning beside.
    await press('ArrowRight');
    await stage.feed.sees('pull', ({ sounding }) => sounding === 'pull');
  });

  test('a click on a chord goes there, and Shift with a click loops from the present chord to that one', async () => {
    await stage.open();
    await stage.standAt(2, FIRST_MS);
    const chords = stage.page.locator('.score button');
    await expect.poll(() => chords.count()).toBe(5);
    await chords.nth(3).click();
    await stage.stands(2, 3 * CHORD_MS);
    await expect.poll(() => chords.nth(3).getAttribute('aria-current')).toBe('true');
    await chords.nth(1).click();
    await stage.stands(2, CHORD_MS);
    await expect.poll(() => chords.nth(1).getAttribute('aria-current')).toBe('true');
    await chords.nth(2).click({ modifiers: ['Shift'] });
    await sees('two chords in a loop', ({ fromMs, toMs }) => fromMs === CHORD_MS && toMs === 3 * CHORD_MS);
  });

  test('a click on the curve goes to that pass and place', async () => {
    await stage.open();
    await stage.standAt(4, CHORD_MS + FIRST_MS);
    const { atMs, playing } = stage.frame;
    const sheet = stage.page.getByRole('slider', { name: /Moment/ });
    // Where the pointer is read as a moment two passes and a bit ago.
    const box = (await sheet.boundingBox())!;
    const wantedMs = atMs - 2 * playing!.lengthMs;
    let x = box.x + box.width / 2;
    const readMs = async () => 1000 * Number(await sheet.getAttribute('aria-valuenow'));
    let [low, high] = [box.x + 1, box.x + box.width - 1];
    for (let i = 0; i < 14; i++) {
      x = (low + high) / 2;
      await stage.page.mouse.move(x, box.y + box.height / 2);
      if ((await readMs()) < wantedMs) low = x;
      else high = x;
    }
    await stage.page.mouse.click(x, box.y + box.height / 2);
    const there = await sees('the second pass', ({ pass }) => pass.n === 2);
    // A stroke on the chart is a second or two wide; standing still, a chord is gone to whole.
    expect(Math.abs(there.positionMs - (CHORD_MS + FIRST_MS))).toBeLessThan(2500);
    expect(stage.frame.drift.free.leftCents).toBeLessThan(-20);
    expect(stage.frame.drift.free.leftCents).toBeGreaterThan(-45);
  });

  test('the buttons do what the keys do', async () => {
    await stage.open();
    await stage.standAt(1, FIRST_MS);
    const button = (name: string) => stage.page.getByRole('button', { name, exact: true });
    await button('Next chord').click();
    await stage.stands(1, CHORD_MS);
    await button('Next chord').click();
    await stage.stands(1, 2 * CHORD_MS);
    await button('Chord before').click();
    await stage.stands(1, CHORD_MS);
    await button('Loop this bar').click();
    await sees('a looped bar', ({ fromMs }) => fromMs === CHORD_MS);
    await button('Loop the whole piece').click();
    await sees('the whole piece', ({ fromMs }) => fromMs === 0);
    await button('Start over, without drift').click();
    await stage.stands(1, 0);
    await button('Stop').click();
    await stage.feed.sees('silence', ({ playing, notes }) => playing === null && notes.length === 0);
    stage.expectCalm();
  });
});
