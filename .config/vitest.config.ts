import { availableParallelism } from 'node:os';
import { defineSuite } from './suite.js';

/** Folders whose tests wait, kill, flood or take long, or need more than a computer: each has a suite of its own. */
export const OTHER_SUITES = ['alsa', 'browser', 'faults', 'fuzz', 'long', 'sound'].map(
  (folder) => `tests/${folder}/**`,
);

/** The quick suite. Files share what they import, which costs more than most of them, and properties try a tenth. */
export default defineSuite(
  {
    include: ['tests/**/*.test.ts'],
    exclude: OTHER_SUITES,
    isolate: false,
    maxWorkers: availableParallelism(),
  },
  0.1,
);
