import { availableParallelism } from 'node:os';
import { defineSuite } from './suite.js';

/** Tests that kill the program, flood it, slow its disk or pull its ports. They mostly wait. */
export default defineSuite({
  include: ['tests/faults/**/*.test.ts'],
  maxWorkers: availableParallelism(),
});
