import { fileURLToPath } from 'node:url';
import { defineConfig } from 'vitest/config';

/** `LEEWAY_TEST_REPORT=FILE` also writes the results as JSON. */
const report = process.env.LEEWAY_TEST_REPORT;

/** `LEEWAY_PICTURES=FOLDER` draws the page into a folder besides. */
const draws = process.env.LEEWAY_PICTURES !== undefined;

/** Tests in a real browser, one after the other: they take time from each other otherwise. */
export default defineConfig({
  test: {
    root: fileURLToPath(new URL('..', import.meta.url)),
    include: ['tests/browser/**/*.test.ts', ...(draws ? ['tests/browser/**/*.draw.ts'] : [])],
    testTimeout: 120_000,
    hookTimeout: 60_000,
    fileParallelism: false,
    // A busy machine draws late.
    expect: { poll: { timeout: 20_000 } },
    reporters: report === undefined ? ['default'] : ['default', ['json', { outputFile: report }]],
  },
});
