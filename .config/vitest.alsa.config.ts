import { fileURLToPath } from 'node:url';
import { defineConfig } from 'vitest/config';

/** The tests that need a real ALSA sequencer. `LEEWAY_TEST_REPORT=FILE` as for the others. */
const report = process.env.LEEWAY_TEST_REPORT;

export default defineConfig({
  test: {
    root: fileURLToPath(new URL('..', import.meta.url)),
    include: ['tests/alsa/**/*.test.ts'],
    globalSetup: ['tests/alsa/say-if-skipped.ts'],
    // One machine has one sequencer: files that plug and list ports must not run beside each other.
    fileParallelism: false,
    testTimeout: 120_000,
    reporters: report === undefined ? ['default'] : ['default', ['json', { outputFile: report }]],
  },
});
