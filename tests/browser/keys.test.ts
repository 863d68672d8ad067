import { expect, test } from 'vitest';
import { useRealStage } from './real-stage.js';

const stage = useRealStage();

/** From the next load on the computer's keyboard has these letters on its keys, as far as a page can tell. */
async function layKeys(letters: Readonly<Record<string, string>>): Promise<void> {
  await stage.page.addInitScript((printed) => {
    const keyboard = { getLayoutMap: () => Promise.resolve(new Map(Object.entries(printed))) };
    Object.defineProperty(navigator, 'keyboard', { value: keyboard });
  }, letters);
}

const legends = () => stage.page.locator('.keys kbd').allTextContents();

test("the keys' legends are the letters of the reader's own keyboard, and keys play by their place", async () => {
  // A German keyboard: where others have Z it has Y, and the other way round; M and comma are the same.
  await layKeys({ KeyZ: 'y', KeyY: 'z', KeyX: 'x', Semicolon: 'ö', KeyQ: 'q' });
  await stage.open();
  await expect.poll(async () => (await legends())[0]).toBe('Y');
  const shown = await legends();
  expect(shown).toContain('Z');
  // The rest keeps its usual letters.
  expect(shown).toEqual(expect.arrayContaining(['X', 'C', 'V', 'B', 'N', 'M', 'Q']));
  expect(shown.indexOf('Z')).toBeGreaterThan(shown.indexOf('Q'));
  // The key at the place of Z, whatever it prints, plays C.
  const press = (type: 'keydown' | 'keyup', code: string, key: string) =>
    stage.page.evaluate(
      ([what, at, printed]) =>
        document.body.dispatchEvent(
          new KeyboardEvent(what, { code: at, key: printed, bubbles: true, cancelable: true }),
        ),
      [type, code, key],
    );
  await press('keydown', 'KeyZ', 'y');
  await stage.feed.sees('C', ({ notes }) => notes.length === 1 && notes[0].key === 60);
  await press('keyup', 'KeyZ', 'y');
  await stage.feed.sees('silence', ({ notes }) => notes.length === 0);
  await press('keydown', 'KeyY', 'z');
  await stage.feed.sees('the A above', ({ notes }) => notes.length === 1 && notes[0].key === 81);
  await press('keyup', 'KeyY', 'z');
  await stage.feed.sees('silence', ({ notes }) => notes.length === 0);
  stage.expectCalm();
});

test('without a word of the browser on its keys the legends are the usual ones', async () => {
  await stage.page.addInitScript(() => Object.defineProperty(navigator, 'keyboard', { value: undefined }));
  await stage.open();
  await expect.poll(async () => (await legends())[0]).toBe('Z');
  stage.expectCalm();
});
