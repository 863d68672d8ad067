import { defineSuite } from './suite.js';

/** The tests that need a real ALSA sequencer. */
export default defineSuite({
  include: ['tests/alsa/**/*.test.ts'],
  globalSetup: ['tests/alsa/say-if-skipped.ts'],
  // One machine has one sequencer: files that plug and list ports must not run beside each other.
  fileParallelism: false,
});
