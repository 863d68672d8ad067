import { availableParallelism } from 'node:os';
import { clearOutputs, leaveOutDone } from '../app/batch/resume.js';
import { STANDARD_STREAM } from '../app/midi-source.js';
import { type FileReport, toRetuneReport } from '../app/report.js';
import { type FileOutcome, retuneFiles } from '../app/retune-files.js';
import { planRetune } from '../app/retune-plan.js';
import { LeewayError } from '../io/leeway-error.js';
import { EXIT, type ExitCode } from './exit-codes.js';
import { formatWarning } from './format/errors.js';
import { formatBatch, formatShortSummary, formatSummary } from './format/summary.js';
import { openBar } from './progress.js';
import { complain, say } from './say.js';
import {
  gatherChoices,
  OPTIONS,
  OptionReader,
  type RawOptions,
  toOutletChoice,
  toPlanning,
  toRemarks,
  toTunerSettings,
} from './settings/index.js';
import { StopSignal } from './stop-signal.js';
import { toAccess } from './streams.js';
import type { World } from './world.js';

const STOPPED_ADVICE = 'The files that are there are whole; the same command with --resume does the rest.';

/**
 * `leeway retune INPUT… -o OUTPUT`: plans, retunes file by file, and sums up. One bad file among several is reported
 * and the rest is done. Throws a LeewayError where nothing should be started.
 */
export async function runRetune(
  inputs: readonly string[],
  options: RawOptions,
  world: World,
): Promise<ExitCode> {
  const gathered = await gatherChoices(options);
  const reader = new OptionReader(options);
  const threads = reader.take(OPTIONS.jobs) ?? availableParallelism();
  if (!gathered.ok || reader.mistakes.length > 0) {
    complain(world, [...(gathered.ok ? [] : gathered.mistakes), ...reader.mistakes]);
    return EXIT.mistake;
  }
  const settings = toTunerSettings(gathered.all.tuning);
  const outlet = toOutletChoice(gathered.all.outlet);
  const planning = toPlanning(gathered.all.tuning);
  const output = String(options.output);
  const reportPath = typeof options.report === 'string' ? options.report : undefined;
  const plan = await planRetune(inputs, output, reportPath);
  for (const remark of toRemarks(gathered.given, gathered.all))
    say(world.stderr, [`leeway: note: ${remark}.`]);
  if (gathered.outletCount > 1)
    say(world.stderr, [
      `leeway: note: the settings have ${gathered.outletCount} outlets; retune takes the first.`,
    ]);
  complain(
    world,
    plan.failures.map(({ error }) => error),
  );

  // Printed lines must not mix with a file on standard output.
  const toStdout = output === STANDARD_STREAM || reportPath === STANDARD_STREAM;
  const place = toStdout ? world.stderr : world.stdout;
  const tell = (outcome: FileOutcome) => {
    if (!outcome.ok) return complain(world, [outcome.error]);
    const { report } = outcome;
    for (const warning of report.warnings) say(world.stderr, [formatWarning(warning, report.input)]);
    say(place, plan.several ? formatShortSummary(report) : formatSummary(report, settings, outlet, planning));
  };

  await clearOutputs(plan.jobs);
  const { jobs, done } = options.resume === true ? await leaveOutDone(plan.jobs) : { ...plan, done: 0 };
  const bar =
    plan.several && jobs.length > 1
      ? await openBar(world, '{bar} {value} of {total} files', jobs.length)
      : undefined;
  const access = toAccess(world);
  const how = { settings, outlet, plan: planning, roles: gathered.roles };
  // A single file ends at once on a signal, unless it is being written.
  const ending = plan.several ? new StopSignal(world, STOPPED_ADVICE) : undefined;
  const show = (outcome: FileOutcome) => {
    if (bar === undefined) tell(outcome);
    else bar.increment();
    ending?.check();
  };
  let outcomes: FileOutcome[];
  try {
    if (plan.several && threads > 1 && jobs.length > 1) {
      const { retuneInPool } = await import('../app/batch/pool.js');
      outcomes = await retuneInPool(jobs, how, threads, show);
    } else outcomes = await retuneFiles(jobs, how, show, access);
  } finally {
    bar?.stop();
    ending?.forget();
  }
  if (bar !== undefined) for (const outcome of outcomes) tell(outcome);

  const failed = [
    ...plan.failures.map(({ input, error }) => ({ input, error })),
    ...outcomes.filter(isFailure),
  ];
  if (reportPath !== undefined) {
    const files: FileReport[] = outcomes.map((one) => (one.ok ? one.report : toFailed(one.input, one.error)));
    for (const { input, error } of plan.failures) files.push(toFailed(input, error));
    const text = `${JSON.stringify(toRetuneReport(settings, files, planning), null, 2)}\n`;
    await access.write(reportPath, new TextEncoder().encode(text));
  }
  const count = outcomes.length + plan.failures.length;
  if (count + done > 1) say(place, formatBatch(outcomes, count, done));
  return toExitCode(failed, count);
}

function isFailure(outcome: FileOutcome): outcome is FileOutcome & { ok: false } {
  return !outcome.ok;
}

function toExitCode(failed: readonly { error: unknown }[], count: number): ExitCode {
  if (failed.some(({ error }) => !(error instanceof LeewayError))) return EXIT.bug;
  if (failed.length === 0) return EXIT.done;
  return count > 1 ? EXIT.someFailed : EXIT.mistake;
}

function toFailed(input: string, error: unknown): FileReport {
  const known = error instanceof LeewayError;
  const message = error instanceof Error ? error.message : String(error);
  const code = known ? error.code : 'BUG';
  const advice = known ? error.advice : 'Please report it with the file.';
  return { ok: false, input, problem: { code, message, advice } };
}
