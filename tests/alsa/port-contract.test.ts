import { describe } from 'vitest';
import { openPortSystem } from '../../src/io/ports/index.js';
import { NO_SEQUENCER } from '../support/alsa.js';
import { testPortContract } from '../support/port-contract.js';

describe.skipIf(NO_SEQUENCER !== undefined)('the port system on a real sequencer', () => {
  testPortContract('ALSA', async () => ({ near: await openPortSystem(), far: await openPortSystem() }));
});
