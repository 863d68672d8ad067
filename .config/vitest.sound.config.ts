import { fileURLToPath } from 'node:url';
import { defineConfig } from 'vitest/config';

/** The tests that need programs of others to hear and read sound. `LEEWAY_TEST_REPORT=FILE` as for the others. */
const report = process.env.LEEWAY_TEST_REPORT;

export default defineConfig({
  test: {
    root: fileURLToPath(new URL('..', import.meta.url)),
    include: ['tests/sound/**/*.test.ts'],
    testTimeout: 120_000,
    reporters: report === undefined ? ['default'] : ['default', ['json', { outputFile: report }]],
  },
});
