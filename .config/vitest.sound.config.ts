import { defineSuite } from './suite.js';

/** The tests that need programs of others to hear and read sound. */
export default defineSuite({ include: ['tests/sound/**/*.test.ts'] });
