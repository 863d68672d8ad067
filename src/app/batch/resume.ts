import { stat } from 'node:fs/promises';
import { dirname } from 'node:path';
import { removeLeftovers } from '../../io/files/index.js';
import { STANDARD_STREAM } from '../midi-source.js';
import type { RetuneJob } from '../retune-plan.js';

/**
 * The unfinished jobs: those whose output is missing, or older than its input. Files are written whole or not at all,
 * so an existing one is finished.
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

/**
 * Removes leftovers of killed runs from the output folders. Writing into a folder does so as well; this is for folders
 * where everything is done already. Never rejects.
 */
export async function clearOutputs(jobs: readonly RetuneJob[]): Promise<void> {
  const files = jobs.map(({ output }) => output).filter((output) => output !== STANDARD_STREAM);
  for (const folder of new Set(files.map((file) => dirname(file)))) await removeLeftovers(folder);
}
