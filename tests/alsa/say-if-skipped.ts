import { NO_SEQUENCER } from '../support/alsa.js';

/** Says before the tests run why they are going to be skipped, if they are. */
export function setup(): void {
  if (NO_SEQUENCER !== undefined) console.log(`\nSKIPPED, every test here: ${NO_SEQUENCER}.`);
}
