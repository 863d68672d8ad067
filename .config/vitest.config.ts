import { fileURLToPath } from 'node:url';
import { defineConfig } from 'vitest/config';

/** `LEEWAY_TEST_REPORT=FILE` also writes the results as JSON. */
const report = process.env.LEEWAY_TEST_REPORT;

export default defineConfig({
  test: {
    root: fileURLToPath(new URL('..', import.meta.url)),
    include: ['tests/**/*.test.ts'],
    exclude: ['tests/alsa/**', 'tests/browser/**', 'tests/sound/**'],
    testTimeout: 120_000,
    reporters: report === undefined ? ['default'] : ['default', ['json', { outputFile: report }]],
  },
});
