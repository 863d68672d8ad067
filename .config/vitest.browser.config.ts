import { defineSuite } from './suite.js';

/** `LEEWAY_PICTURES=FOLDER` draws the page into a folder besides. */
const draws = process.env.LEEWAY_PICTURES !== undefined;

/** Tests in a real browser, one after the other: they take time from each other otherwise. */
export default defineSuite({
  include: ['tests/browser/**/*.test.ts', ...(draws ? ['tests/browser/**/*.draw.ts'] : [])],
  fileParallelism: false,
  // A busy machine draws late.
  expect: { poll: { timeout: 20_000 } },
});
