import { test } from 'vitest';
import { PASS_MS, usePageStage } from './page-stage.js';

const stage = usePageStage();
const SIZES = (process.env.SIZES ?? '1280x720,360x740,844x390,820x1180,1024x768,1920x1080')
  .split(',')
  .map((s) => s.split('x').map(Number));
test('look', async () => {
  const { page, server } = stage;
  server.session.start(process.env.PIECE ?? 'choir-warm-up');
  server.skip(PASS_MS * 2 + 8000);
  const what = process.env.WHAT ?? 'sheet';
  for (const scheme of (process.env.SCHEMES ?? 'light').split(',') as ('light' | 'dark')[]) {
    await page.emulateMedia({ colorScheme: scheme });
    for (const [width, height] of SIZES) {
      await page.setViewportSize({ width, height });
      await page.goto('about:blank');
      await page.goto(
        what === 'onlooker'
          ? server.url
          : what === 'stage'
            ? server.playerUrl.replace('#', '#stage&')
            : server.playerUrl,
      );
      await page.waitForSelector('.line-end');
      await page.waitForTimeout(700);
      await page.screenshot({ path: `/tmp/shots/${what}-${width}x${height}-${scheme}.png` });
    }
  }
  console.log(stage.watch.complaints);
}, 120000);
