import { stat } from 'node:fs/promises';
import type { RetuneJob } from '../retune-plan.js';

/**
 * The jobs that are still to be done: those whose output isn't there, or is older than its input. A file comes to its
 * place whole or not at all, so what is there is finished.
 */
export async function leaveOutDone(jobs: readonly RetuneJob[]): Promise<{ jobs: RetuneJob[]; done: number }> {
  const open: RetuneJob[] = [];
  for (const job of jobs) if (!(await isDone(job))) open.push(job);
  return { jobs: open, done: jobs.length - open.length };
}

async function isDone({ input, output }: RetuneJob): Promise<boolean> {
  try {
    const [from, to] = await Promise.all([stat(input), stat(output)]);
    return to.isFile() && to.mtimeMs >= from.mtimeMs;
  } catch {
    return false;
  }
}
