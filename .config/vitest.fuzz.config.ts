import { availableParallelism } from 'node:os';
import { defineSuite } from './suite.js';

/** Inputs that mean harm; `npm run fuzz` says how many. Half of the time the network targets wait: a worker for each core. */
export default defineSuite({ include: ['tests/fuzz/**/*.test.ts'], maxWorkers: availableParallelism() });
