// Tells which modules a program loads: `node --import THIS_FILE program.js 3>list`, one URL a line. What a CommonJS package
// requires in turn is not told.
import { writeSync } from 'node:fs';
import { register } from 'node:module';
import { isMainThread } from 'node:worker_threads';

const LIST = 3;

if (isMainThread) register(import.meta.url);

export async function load(url, context, next) {
  writeSync(LIST, `${url}\n`);
  return next(url, context);
}
