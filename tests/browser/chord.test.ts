import { expect, test } from 'vitest';
import { usePageStage } from './page-stage.js';
import { expectTrueBends, readLadder } from './true-bends.js';

const stage = usePageStage();

/** Far from home, where figures are long. */
const KEYS = [47, 60, 66, 75];

test.each([
  { width: 1280, height: 720 },
  { width: 390, height: 844 },
])('each note on the page is shown with its channel and bend, and with nothing else: %o', async (size) => {
  await stage.page.setViewportSize(size);
  await stage.open();
  if (size.width < 760) await stage.page.getByRole('button', { name: 'Chord', exact: true }).click();
  for (const key of KEYS) stage.server.order({ type: 'play', act: 'on', key, velocity: 80 });
  const seen = async () => (await readLadder(stage.page)).bends.length;
  await expect.poll(seen).toBe(KEYS.length);
  await expectTrueBends(stage.page);
  const boxes = await stage.page
    .locator('.ladder .cents, .ladder .detail, .ladder .ratio, .ladder .name')
    .evaluateAll((all) =>
      all.map((one) => ({ text: one.textContent, box: one.getBoundingClientRect().toJSON() })),
    );
  const overlaps = boxes.flatMap(({ text, box }, i) =>
    boxes.slice(i + 1).flatMap((other) => {
      const across = Math.min(box.right, other.box.right) - Math.max(box.left, other.box.left);
      const down = Math.min(box.bottom, other.box.bottom) - Math.max(box.top, other.box.top);
      // Lines of text have air above and below; to the sides none is theirs.
      return across > 0 && down > 0.3 * box.height ? [`${text} on ${other.text}`] : [];
    }),
  );
  expect(overlaps).toEqual([]);
  expect(boxes).toHaveLength(4 * KEYS.length);
});

test('the page shows no bend in 12 equal', async () => {
  await stage.open();
  for (const key of KEYS) stage.server.order({ type: 'play', act: 'on', key, velocity: 80 });
  stage.server.order({ type: 'control', what: 'hear', value: 'equal' });
  await expect.poll(async () => (await readLadder(stage.page)).bends).toEqual([0, 0, 0, 0]);
});
