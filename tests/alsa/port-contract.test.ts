import { openPortSystem } from '../../src/io/ports/index.js';
import { testPortContract } from '../support/port-contract.js';

testPortContract('ALSA', async () => ({ near: await openPortSystem(), far: await openPortSystem() }));
