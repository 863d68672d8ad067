import { fileURLToPath } from 'node:url';
import { defineConfig } from 'vitest/config';

/** `LEEWAY_TEST_REPORT=FILE` also writes the results as JSON. */
const report = process.env.LEEWAY_TEST_REPORT;
/** `npm run coverage` tells which branches of `src/core` no test reaches. */
const COVERAGE_FOLDER = 'dist/coverage';

export default defineConfig({
  test: {
    root: fileURLToPath(new URL('..', import.meta.url)),
    include: ['tests/**/*.test.ts'],
    setupFiles: ['tests/support/properties.ts'],
    exclude: ['tests/alsa/**', 'tests/browser/**', 'tests/sound/**'],
    testTimeout: 120_000 * Number(process.env.LEEWAY_RUNS ?? 1),
    coverage: {
      enabled: process.env.LEEWAY_COVERAGE !== undefined,
      provider: 'v8',
      include: ['src/core/**'],
      reporter: ['text-summary', 'json'],
      reportsDirectory: COVERAGE_FOLDER,
      reportOnFailure: true,
      // All of them; but a branch that only random cases reach may be missed in one run.
      thresholds: { branches: 99.5 },
    },
    reporters: report === undefined ? ['default'] : ['default', ['json', { outputFile: report }]],
  },
});
