import { dirname } from 'node:path';
import { formatMidiFile } from '../core/midi/index.js';
import { makeFolder } from './folders.js';
import { DISK, type FileAccess, openMidi } from './midi-source.js';
import { type DoneReport, toDoneReport } from './report.js';
import { type RetuneOptions, retune } from './retune.js';
import type { RetuneJob } from './retune-plan.js';
import { toRoleWarnings } from './track-roles.js';

/** The result for one file. `error` is whatever was thrown: a LeewayError if it was expected. */
export type FileOutcome =
  | { readonly ok: true; readonly input: string; readonly report: DoneReport }
  | { readonly ok: false; readonly input: string; readonly error: unknown };

/**
 * Retunes one file. Its output is written whole, or not at all. Throws a LeewayError for a file that can't be read or
 * written.
 */
export async function retuneOne(
  job: RetuneJob,
  options: RetuneOptions,
  access: FileAccess = DISK,
): Promise<DoneReport> {
  const { file, warnings } = await openMidi(job.input, access);
  const retuned = retune(file, options);
  const bytes = formatMidiFile(retuned.file);
  if (job.makeFolder) await makeFolder(dirname(job.output));
  await access.write(job.output, bytes);
  const all = [...warnings, ...toRoleWarnings(file, options.roles ?? [])];
  return toDoneReport(job.input, job.output, file, all, retuned);
}

/**
 * Retunes files one after the other. One that fails doesn't stop the rest.
 * @param done called with each finished file; may throw to stop
 */
export async function retuneFiles(
  jobs: readonly RetuneJob[],
  options: RetuneOptions,
  done: (outcome: FileOutcome) => void = () => {},
  access: FileAccess = DISK,
): Promise<FileOutcome[]> {
  const outcomes: FileOutcome[] = [];
  for (const job of jobs) {
    const { input } = job;
    let outcome: FileOutcome;
    try {
      outcome = { ok: true, input, report: await retuneOne(job, options, access) };
    } catch (error) {
      outcome = { ok: false, input, error };
    }
    outcomes.push(outcome);
    done(outcome);
  }
  return outcomes;
}
