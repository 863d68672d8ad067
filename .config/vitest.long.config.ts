import { availableParallelism } from 'node:os';
import { defineSuite } from './suite.js';
import { OTHER_SUITES } from './vitest.config.js';

/** `npm run coverage` tells which branches of `src/core` no test reaches. */
const COVERAGE_FOLDER = 'dist/coverage';

/** The long suite: its own tests, and the quick ones with every case of their properties, each file apart. */
export default defineSuite({
  include: ['tests/**/*.test.ts'],
  exclude: OTHER_SUITES.filter((folder) => folder !== 'tests/long/**'),
  maxWorkers: availableParallelism(),
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
});
