import { expect, test } from 'vitest';
import { readBuiltInPieces } from '../../../../src/app/live/built-in-pieces.js';
import { warmUp, warmUpPage } from '../../../../src/app/live/warm-up.js';
import { stageSettings } from '../../../support/stage.js';

test.each(['mpe', 'multichannel', 'mts'] as const)(
  'the warm-up plays some thousand messages to no port, over %s',
  (kind) => {
    const settings = stageSettings();
    const outlets = [
      { ...settings.outlets[0], kind },
      { ...settings.outlets[0], port: 'Other', wire: 'din' as const },
    ];
    expect(warmUp({ ...settings, outlets }, () => 0)).toBeGreaterThan(5000);
  },
);

test('the warm-up of a slow computer ends after three seconds', () => {
  let nowMs = 0;
  const chords = warmUp(stageSettings(), () => {
    nowMs += 1000;
    return nowMs;
  });
  expect(chords).toBeGreaterThan(0);
  expect(chords).toBeLessThan(warmUp(stageSettings(), () => 0) / 20);
});

test('what a page asks for is warmed up with a piece, which then stands at a chord', async () => {
  const [piece] = await readBuiltInPieces(new URL('../../../../configs/demo', import.meta.url).pathname);
  expect(warmUpPage(stageSettings(), piece)).toBe(4);
});
