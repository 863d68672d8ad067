import { describe, expect, test } from 'vitest';
import { findLayoutFaults, findSmallTexts } from './layout-faults.js';
import { PASS_MS, usePageStage } from './page-stage.js';

const stage = usePageStage();

const SIZES = [
  [360, 740],
  [844, 390],
  [820, 1180],
  [1024, 768],
  [1280, 720],
  [1920, 1080],
  [3840, 2160],
] as const;
const STORY = {
  title: 'Why pure chords drift',
  step: 3,
  steps: 7,
  sentence:
    'One pass, and the first chord is back a comma lower: 21.5 cents. Every chord on the way was pure.',
};

/** What can be on the page at one time. */
const STATES = {
  'nothing played': () => {},
  'a piece in its third pass': () => {
    stage.server.session.start('choir-warm-up');
    stage.server.skip(2 * PASS_MS + 8000);
  },
  'a story and a notice': () => {
    stage.server.session.start('choir-warm-up');
    stage.server.skip(PASS_MS + 2000);
    stage.server.session.stage = { ...stage.server.session.stage, story: STORY };
  },
  'twelve notes': () => {
    for (let key = 48; key < 60; key++) stage.server.order({ type: 'play', act: 'on', key, velocity: 80 });
    stage.server.skip(500);
  },
};

async function open(what: 'sheet' | 'stage' | 'onlooker'): Promise<void> {
  const { server } = stage;
  server.stopClock();
  const url = what === 'onlooker' ? server.url : server.playerUrl;
  await stage.open(what === 'stage' ? url.replace('#', '#stage&') : url);
  await stage.page.waitForSelector('.line-end, .empty, .stage');
}

describe.each(SIZES)('at %i by %i', (width, height) => {
  for (const what of ['sheet', 'stage', 'onlooker'] as const) {
    for (const [state, make] of Object.entries(STATES)) {
      test(`no texts of the ${what} overlap and none is cut, with ${state}`, async () => {
        await stage.page.setViewportSize({ width, height });
        make();
        await open(what);
        if (state === 'a story and a notice') {
          stage.server.tell({
            type: 'notice',
            level: 'warning',
            text: 'Synth is gone. The music goes on without it.',
          });
          await stage.page.waitForSelector('.notice, .stage');
        }
        const tabs = await stage.page.locator('.phone nav button').all();
        if (tabs.length === 0) await expect.poll(() => findLayoutFaults(stage.page)).toEqual([]);
        for (const tab of tabs) {
          await tab.click();
          await expect
            .poll(() => findLayoutFaults(stage.page), { message: (await tab.textContent()) ?? '' })
            .toEqual([]);
        }
      });
    }
  }
});

test.each(SIZES.filter(([width]) => width >= 1024))(
  'no text of the stage is under 3 % of the height at %i by %i',
  async (width, height) => {
    await stage.page.setViewportSize({ width, height });
    stage.server.session.start('choir-warm-up');
    stage.server.skip(PASS_MS);
    stage.server.session.stage = { ...stage.server.session.stage, story: STORY };
    for (const view of ['all', 'figure', 'curve', 'chord', 'score'] as const) {
      stage.server.session.stage = { ...stage.server.session.stage, view };
      await open('stage');
      await expect.poll(() => findSmallTexts(stage.page, 0.03), { message: view }).toEqual([]);
    }
  },
);

test.each([
  [1280, 720],
  [1920, 1080],
] as const)(
  'a page enlarged to twice its size, %i by %i, has no texts cut or over one another',
  async (width, height) => {
    await stage.page.setViewportSize({ width: width / 2, height: height / 2 });
    STATES['a piece in its third pass']();
    await open('sheet');
    await expect.poll(() => findLayoutFaults(stage.page)).toEqual([]);
  },
);
