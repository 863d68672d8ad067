import { Worker } from 'node:worker_threads';
import { LeewayError } from '../../io/leeway-error.js';
import type { RetuneOptions } from '../retune.js';
import type { FileOutcome } from '../retune-files.js';
import type { RetuneJob } from '../retune-plan.js';
import type { FromThread, ToThread } from './thread-messages.js';

/** The built thread; when run from the sources, which a thread can't load, the one built last. */
const THREAD = new URL(
  import.meta.url.includes('/dist/') ? './retune-thread.js' : '../../../dist/program/retune-thread.js',
  import.meta.url,
);

/**
 * Retunes files in parallel, `threads` of them at a time. One that fails doesn't stop the rest, nor does a thread that
 * dies: its file counts as failed, and another thread continues with the next. Only the reports grow in memory with the
 * number of files.
 *
 * @param done called with each file in the order of the jobs, once it and all before it are finished; may throw to stop: then
 *   files that were begun are finished, and no other is
 * @returns the result of each, in the order of the jobs
 */
export async function retuneInPool(
  jobs: readonly RetuneJob[],
  options: RetuneOptions,
  threads: number,
  done: (outcome: FileOutcome) => void = () => {},
  thread: URL = THREAD,
): Promise<FileOutcome[]> {
  const outcomes = new Array<FileOutcome>(jobs.length);
  let next = 0;
  let reported = 0;
  let stopped: { readonly why: unknown } | undefined;
  const tell = (): void => {
    try {
      for (; reported < jobs.length && outcomes[reported] !== undefined; reported++) done(outcomes[reported]);
    } catch (why) {
      stopped = { why };
      next = jobs.length;
      reported = jobs.length;
    }
  };
  const work = async (): Promise<void> => {
    let hand: Hand | undefined;
    while (next < jobs.length) {
      const index = next++;
      hand ??= new Hand(thread, options);
      const outcome = await hand.retune(jobs[index]);
      if (hand.isDead) hand = undefined;
      outcomes[index] = outcome;
      tell();
    }
    await hand?.rest();
  };
  await Promise.all(Array.from({ length: Math.min(threads, jobs.length) }, work));
  if (stopped !== undefined) throw stopped.why;
  return outcomes;
}

/** One thread, which retunes one file at a time. */
class Hand {
  readonly #worker: Worker;
  isDead = false;

  constructor(thread: URL, options: RetuneOptions) {
    this.#worker = new Worker(thread, { workerData: options });
    // Without a listener a fault of the thread would be one of the program.
    this.#worker.on('error', () => {
      this.isDead = true;
    });
  }

  retune(job: RetuneJob): Promise<FileOutcome> {
    const { input } = job;
    return new Promise((resolve) => {
      const worker = this.#worker;
      const finish = (outcome: FileOutcome) => {
        worker.off('message', hear);
        worker.off('error', fail);
        worker.off('exit', die);
        resolve(outcome);
      };
      const hear = (message: FromThread) => finish(toOutcome(input, message));
      const die = () => fail(new Error('the thread ended'));
      const fail = (error: unknown) => {
        this.isDead = true;
        finish({ ok: false, input, error });
      };
      worker.once('message', hear);
      worker.once('error', fail);
      worker.once('exit', die);
      worker.postMessage({ job } satisfies ToThread);
    });
  }

  async rest(): Promise<void> {
    await this.#worker.terminate();
  }
}

function toOutcome(input: string, message: FromThread): FileOutcome {
  if (message.ok) return { ok: true, input, report: message.report };
  if ('problem' in message) return { ok: false, input, error: new LeewayError(message.problem) };
  return { ok: false, input, error: new Error(message.fault) };
}
