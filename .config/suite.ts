import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { defineConfig, type ViteUserConfigExport } from 'vitest/config';
import type { InlineConfig } from 'vitest/node';

/** `LEEWAY_TEST_REPORT=FILE` also writes the results as JSON. */
const report = process.env.LEEWAY_TEST_REPORT;

/**
 * A suite of tests: what all suites share, and what this one adds.
 *
 * @param runs of a property's cases, the share this suite tries; `LEEWAY_RUNS` overrides it
 */
export function defineSuite(suite: InlineConfig, runs = 1): ViteUserConfigExport {
  const share = process.env.LEEWAY_RUNS ?? String(runs);
  return defineConfig({
    test: {
      root: fileURLToPath(new URL('..', import.meta.url)),
      setupFiles: ['tests/support/properties.ts'],
      // Programs that tests start keep nothing in the user's own folders.
      env: { LEEWAY_RUNS: share, XDG_STATE_HOME: join(tmpdir(), 'leeway-tests-state') },
      testTimeout: 120_000 * Math.max(1, Number(share)),
      // A busy computer starts threads and programs late.
      hookTimeout: 60_000,
      reporters: report === undefined ? ['default'] : ['default', ['json', { outputFile: report }]],
      ...suite,
    },
  });
}
