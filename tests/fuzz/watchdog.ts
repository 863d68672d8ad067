import { Worker } from 'node:worker_threads';

/** How long a case may take. Each takes about a millisecond; this is for those that never end. */
const LONGEST_MS = 60_000;
const MOST_BYTES = 1 << 16;

/** Looks at the counter that the cases turn; if it stands still, says where, and ends the process, which can't do so itself. */
const LOOKS = `
const { workerData } = require('node:worker_threads');
const { writeSync } = require('node:fs');
const { counter, bytes, name, seed, longestMs } = workerData;
let last = -1;
let since = Date.now();
setInterval(() => {
  const now = Atomics.load(counter, 0);
  if (now !== last || Atomics.load(counter, 2) === 0) { last = now; since = Date.now(); return; }
  if (Date.now() - since < longestMs) return;
  const input = Buffer.from(bytes.slice(0, Atomics.load(counter, 1))).toString('hex');
  writeSync(2, 'Case ' + now + ' of ' + name + ' with seed ' + seed + ' never ends. Again: npm run fuzz -- --only ' + name + ' --input ' + input + '\\n');
  process.kill(process.pid, 'SIGKILL');
}, 1000);
`;

/** Says which case it was that never came back. */
export class Watchdog {
  readonly #counter = new Int32Array(new SharedArrayBuffer(12));
  readonly #bytes = new Uint8Array(new SharedArrayBuffer(MOST_BYTES));
  readonly #worker: Worker;

  constructor(name: string, seed: number, longestMs = LONGEST_MS) {
    const workerData = { counter: this.#counter, bytes: this.#bytes, name, seed, longestMs };
    this.#worker = new Worker(LOOKS, { eval: true, execArgv: [], workerData });
    this.#worker.unref();
  }

  /** A case begins. */
  begin(caseNumber: number, input: Uint8Array): void {
    this.#bytes.set(input.subarray(0, MOST_BYTES));
    Atomics.store(this.#counter, 1, Math.min(MOST_BYTES, input.length));
    Atomics.store(this.#counter, 0, caseNumber);
    Atomics.store(this.#counter, 2, 1);
  }

  /** There are no more. */
  async end(): Promise<void> {
    await this.#worker.terminate();
  }
}
