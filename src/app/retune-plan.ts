import { basename, dirname, join, relative, resolve, sep } from 'node:path';
import { listMidiFiles } from '../io/files/index.js';
import { LeewayError } from '../io/leeway-error.js';
import { isFile, isFolder, toIdentity } from './folders.js';
import { STANDARD_STREAM } from './midi-source.js';

/** One file to retune. */
export interface RetuneJob {
  readonly input: string;
  readonly output: string;
  /** Whether the folder of `output` is made where it is missing. */
  readonly makeFolder: boolean;
}

/** The work to do, before anything is written. */
export interface RetunePlan {
  readonly jobs: readonly RetuneJob[];
  /** Inputs without a job: folders that can't be listed, or hold no MIDI file. */
  readonly failures: readonly { readonly input: string; readonly error: LeewayError }[];
  /** Whether OUTPUT is a folder for any number of files: several inputs, or a folder as input. */
  readonly several: boolean;
}

/**
 * Finds which files are retuned, and the output of each.
 *
 * A file goes to `output`, or into it under its own name if that is a folder. A folder as the only input is rebuilt
 * under `output`. With several inputs each file goes into the folder `output` under its own name, and each folder is
 * rebuilt there under its own name. Files below `output` are left out, so that a second run doesn't retune the first.
 *
 * Throws a LeewayError where nothing should be started: OUTPUT_IS_INPUT (also for the report), OUTPUT_CLASH,
 * OUTPUT_NOT_FOLDER, STREAM_ALONE, REPORT_NO_FOLDER.
 *
 * @param report path of the report, if one will be written
 */
export async function planRetune(
  inputs: readonly string[],
  output: string,
  report?: string,
): Promise<RetunePlan> {
  const folders = await Promise.all(inputs.map(isFolder));
  const several = inputs.length > 1 || folders[0];
  if (several) await refuseAsFolder(inputs, output);
  const plan = several
    ? await planSeveral(inputs, folders, output)
    : { jobs: [await planOne(inputs[0], output)], failures: [], several };
  await refuseOverwriting(plan.jobs, report);
  if (report !== undefined) await refuseNowhere(report, plan.jobs);
  return plan;
}

async function planOne(input: string, output: string): Promise<RetuneJob> {
  const asFolder = /[/\\]$/.test(output);
  if (!asFolder && !(await isFolder(output))) return { input, output, makeFolder: false };
  if (input === STANDARD_STREAM) throw streamAlone('What comes from standard input has no name of its own');
  return { input, output: join(output, basename(input)), makeFolder: asFolder };
}

async function planSeveral(
  inputs: readonly string[],
  folders: readonly boolean[],
  output: string,
): Promise<RetunePlan> {
  const jobs: RetuneJob[] = [];
  const failures: { input: string; error: LeewayError }[] = [];
  for (const [i, input] of inputs.entries()) {
    if (!folders[i]) {
      jobs.push({ input, output: join(output, basename(input)), makeFolder: true });
      continue;
    }
    const root = inputs.length > 1 ? join(output, basename(resolve(input))) : output;
    try {
      const files = (await listMidiFiles(input)).filter((file) => !isBelow(file, output, input));
      if (files.length === 0) throw noMidiFiles(input);
      for (const file of files)
        jobs.push({ input: file, output: join(root, relative(input, file)), makeFolder: true });
    } catch (error) {
      if (!(error instanceof LeewayError)) throw error;
      failures.push({ input, error });
    }
  }
  return { jobs, failures, several: true };
}

/** Whether `file` is in the output folder, which is itself inside the input folder. */
function isBelow(file: string, output: string, input: string): boolean {
  return isInside(output, input) && isInside(file, output);
}

function isInside(path: string, folder: string): boolean {
  const whole = resolve(folder);
  return resolve(path).startsWith(whole.endsWith(sep) ? whole : whole + sep);
}

async function refuseAsFolder(inputs: readonly string[], output: string): Promise<void> {
  if (output === STANDARD_STREAM) throw streamAlone("Several files can't go to standard output");
  if (inputs.includes(STANDARD_STREAM)) throw streamAlone("Standard input can't be one of several inputs");
  if (await isFile(output)) {
    throw new LeewayError({
      code: 'OUTPUT_NOT_FOLDER',
      message: `Can't write several files to ${output}: it is a file.`,
      advice: 'Name a folder; it is made if it is missing.',
    });
  }
}

/** No input may be overwritten: retuning twice is not the same as retuning once. */
async function refuseOverwriting(jobs: readonly RetuneJob[], report: string | undefined): Promise<void> {
  const read = new Map<string, string>();
  for (const { input } of jobs) {
    const identity = await toIdentity(input);
    if (identity !== undefined) read.set(identity, input);
  }
  const written = new Map<string, string>();
  const targets = jobs.map((job) => [job.output, job.input] as const);
  if (report !== undefined) targets.push([report, 'the report']);
  for (const [output, origin] of targets) {
    if (output === STANDARD_STREAM) continue;
    const identity = await toIdentity(output);
    const input = identity === undefined ? undefined : read.get(identity);
    if (input !== undefined) throw outputIsInput(output, input);
    const other = written.get(resolve(output));
    if (other !== undefined) throw outputClash(output, other, origin);
    written.set(resolve(output), origin);
  }
}

/** Checks before the work that the report can be written. */
async function refuseNowhere(report: string, jobs: readonly RetuneJob[]): Promise<void> {
  const folder = dirname(report);
  const willBeMade = jobs.some((job) => job.makeFolder && isInside(job.output, folder));
  if (report === STANDARD_STREAM || willBeMade || (await isFolder(folder))) return;
  throw new LeewayError({
    code: 'REPORT_NO_FOLDER',
    message: `Can't write the report ${report}: there is no folder ${folder}.`,
    advice: 'Make the folder first, or choose another one.',
  });
}

function outputIsInput(output: string, input: string): LeewayError {
  const which = output === input ? '' : `, which is ${input}`;
  return new LeewayError({
    code: 'OUTPUT_IS_INPUT',
    message: `Won't write over the input ${output}${which}.`,
    advice: 'Choose another name or folder with -o; the original is kept.',
  });
}

function outputClash(output: string, first: string, second: string): LeewayError {
  return new LeewayError({
    code: 'OUTPUT_CLASH',
    message: `Both ${first} and ${second} would be written to ${output}.`,
    advice: 'Rename one of them, or run the command once for each.',
  });
}

function noMidiFiles(folder: string): LeewayError {
  return new LeewayError({
    code: 'NO_MIDI_FILES',
    message: `There is no MIDI file in ${folder}.`,
    advice: 'MIDI files end in .mid, .midi, .smf, .rmi or .kar.',
  });
}

function streamAlone(what: string): LeewayError {
  return new LeewayError({
    code: 'STREAM_ALONE',
    message: `${what}.`,
    advice: 'Use - with a single input, and name an output file.',
  });
}
