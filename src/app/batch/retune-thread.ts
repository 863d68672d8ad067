import { parentPort, workerData } from 'node:worker_threads';
import { LeewayError } from '../../io/leeway-error.js';
import type { RetuneOptions } from '../retune.js';
import { retuneOne } from '../retune-files.js';
import type { FromThread, ToThread } from './thread-messages.js';

/** Retunes one file after the other, as it receives them. */
const options = workerData as RetuneOptions;

parentPort?.on('message', async ({ job }: ToThread) => {
  parentPort?.postMessage(await work(job));
});

async function work(job: ToThread['job']): Promise<FromThread> {
  try {
    return { ok: true, report: await retuneOne(job, options) };
  } catch (error) {
    if (!(error instanceof LeewayError)) return { ok: false, fault: String(error) };
    const { code, message, advice } = error;
    return { ok: false, problem: { code, message, advice } };
  }
}
