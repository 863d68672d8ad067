import { once } from 'node:events';
import { setPriority } from 'node:os';
import { isMainThread, parentPort, Worker, workerData } from 'node:worker_threads';
import { ByteRing, createRingMemory } from './byte-ring.js';
import { type HeardReport, Listening } from './listening.js';

/** Room for what is sent while the listener doesn't get to it: 4 MiB, many seconds of the densest playing. */
const LOG2_RING_BYTES = 22;
/** How often it looks into the ring, in milliseconds. */
const LOOK_MS = 20;
/** It stands for synths, which are other computers: it stands back as far as there is, where a thread can by itself. */
const NICENESS = 19;

/** What the thread is started with. */
interface ListenerStart {
  readonly memory: SharedArrayBuffer;
  readonly names: readonly string[];
  /** When the program began, in milliseconds since 1970. */
  readonly originMs: number;
}

/** Listens to the synths of the stage in a thread of its own, so that the music's thread only copies bytes. */
export class Listener {
  /** What the music's thread writes what it sent into. */
  readonly ring: ByteRing;
  readonly #worker: Worker;

  /** @param names of the synths, in the order of their places */
  constructor(names: readonly string[]) {
    const memory = createRingMemory(LOG2_RING_BYTES);
    this.ring = new ByteRing(memory);
    const start: ListenerStart = { memory, names, originMs: performance.timeOrigin };
    this.#worker = new Worker(new URL(import.meta.url), { workerData: start });
    this.#worker.unref();
  }

  /** What the synths sound, everything that has been sent by now worked off. Rejects if the thread failed. */
  async report(): Promise<HeardReport[]> {
    const answer = once(this.#worker, 'message');
    this.#worker.postMessage('report');
    const [report] = (await answer) as [HeardReport[]];
    return report;
  }

  async leave(): Promise<void> {
    await this.#worker.terminate();
  }
}

if (!isMainThread && parentPort !== null) listen(parentPort, workerData as ListenerStart);

function listen(port: NonNullable<typeof parentPort>, { memory, names, originMs }: ListenerStart): void {
  if (process.platform === 'linux') setPriority(NICENESS);
  const ring = new ByteRing(memory);
  const listening = new Listening(
    names,
    () => (performance.timeOrigin + performance.now() - originMs) / 1000,
  );
  const catchUp = (): void => {
    ring.read((kind, bytes) => listening.hear(kind, bytes));
  };
  setInterval(catchUp, LOOK_MS);
  port.on('message', () => {
    catchUp();
    port.postMessage(listening.report());
  });
}
