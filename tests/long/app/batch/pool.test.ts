import { cpSync, readdirSync, readFileSync, utimesSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { pathToFileURL } from 'node:url';
import { describe, expect, test } from 'vitest';
import { retuneInPool } from '../../../../src/app/batch/pool.js';
import { leaveOutDone } from '../../../../src/app/batch/resume.js';
import { type FileOutcome, retuneFiles } from '../../../../src/app/retune-files.js';
import type { RetuneJob } from '../../../../src/app/retune-plan.js';
import { DEFAULT_PLAN } from '../../../../src/core/score/index.js';
import { toSettings } from '../../../../src/core/tuner/index.js';
import { LeewayError } from '../../../../src/io/leeway-error.js';
import { useTemporaryFolder } from '../../../support/temporary-folder.js';

const PIECES = ['choir-warm-up', 'chapel-suspensions', 'trio-of-thirds', 'organ-sevenths'];
const OPTIONS = {
  settings: toSettings({ strategy: 'pull' }),
  outlet: { kind: 'mpe', bendRange: undefined },
  plan: DEFAULT_PLAN,
} as const;

describe('retuneInPool', () => {
  const folder = useTemporaryFolder();
  const job = (name: string, to: string): RetuneJob => ({
    input: `configs/demo/${name}.mid`,
    output: join(folder(), to, `${name}.mid`),
    makeFolder: true,
  });
  const messages = (outcomes: readonly FileOutcome[]) =>
    outcomes.map((one) => (one.ok ? 'done' : (one.error as Error).message));

  test('gives tracks the same roles as a single thread, with a warning for each file that lacks them', async () => {
    const fixed = { name: 'bass', role: 'fixed', fixedCents: new Array<number>(12).fill(0) } as const;
    const how = { ...OPTIONS, roles: [fixed, { number: 0, role: 'guide' } as const] };
    const jobs = (to: string) => PIECES.map((name) => job(name, to));
    const alone = await retuneFiles(jobs('alone'), how);
    const together = await retuneInPool(jobs('together'), how, 2);
    const reports = [alone, together].map((outcomes) =>
      outcomes.map((one) => (one.ok ? { ...one.report, output: '' } : undefined)),
    );
    expect(reports[1]).toEqual(reports[0]);
    const roles = reports[0].map((report) => report?.pieces[0].parts.map(({ role }) => role).join(' '));
    expect(roles.some((one) => one?.includes('fixed'))).toBe(true);
    expect(
      reports[0].flatMap((report) => report?.warnings ?? []).some(({ code }) => code === 'ROLE_NO_TRACK'),
    ).toBe(true);
    PIECES.forEach((name) => {
      expect(readFileSync(job(name, 'together').output)).toEqual(readFileSync(job(name, 'alone').output));
    });
  });

  test('makes the same files and reports as a single thread, in the order of the jobs', async () => {
    const alone = await retuneFiles(
      PIECES.map((name) => job(name, 'alone')),
      OPTIONS,
    );
    const told: string[] = [];
    const together = await retuneInPool(
      PIECES.map((name) => job(name, 'together')),
      OPTIONS,
      3,
      ({ input }) => told.push(input),
    );
    expect(told).toEqual(PIECES.map((name) => `configs/demo/${name}.mid`));
    PIECES.forEach((name, i) => {
      expect(readFileSync(job(name, 'together').output)).toEqual(readFileSync(job(name, 'alone').output));
      const [a, b] = [alone[i], together[i]];
      if (!a.ok || !b.ok) throw new Error(String(messages([a, b])));
      expect({ ...b.report, output: '' }).toEqual({ ...a.report, output: '' });
    });
  });

  test('reports a bad file with its code, and does the rest', async () => {
    const bad = join(folder(), 'bad.mid');
    writeFileSync(bad, 'no MIDI');
    const jobs = [
      { input: bad, output: join(folder(), 'out.mid'), makeFolder: false },
      job(PIECES[0], 'rest'),
    ];
    const [first, second] = await retuneInPool(jobs, OPTIONS, 2);
    expect(second.ok).toBe(true);
    if (first.ok) throw new Error('it was read');
    expect(first.error).toBeInstanceOf(LeewayError);
    expect((first.error as LeewayError).code).toMatch(/^SMF_/);
  });

  test('finishes what was begun when it should stop, begins nothing more, and reports why', async () => {
    const thread = join(folder(), 'thread.mjs');
    writeFileSync(
      thread,
      `import { parentPort } from 'node:worker_threads';
       import { writeFileSync } from 'node:fs';
       parentPort.on('message', ({ job }) => {
         writeFileSync(job.output, '');
         setTimeout(() => parentPort.postMessage({ ok: false, fault: job.input }), 20);
       });`,
    );
    const jobs = Array.from({ length: 300 }, (_, i) => ({
      input: `${i}`,
      output: join(folder(), `${i}.out`),
      makeFolder: false,
    }));
    const countBegun = () => readdirSync(folder()).filter((name) => name.endsWith('.out')).length;
    const told: string[] = [];
    let begunAtStop = 0;
    const stopping = retuneInPool(
      jobs,
      OPTIONS,
      2,
      ({ input }) => {
        told.push(input);
        if (told.length < 5) return;
        begunAtStop = countBegun();
        throw new RangeError('enough');
      },
      pathToFileURL(thread),
    );
    await expect(stopping).rejects.toThrow('enough');
    expect(told).toEqual(['0', '1', '2', '3', '4']);
    expect(begunAtStop).toBeGreaterThanOrEqual(5);
    expect(begunAtStop).toBeLessThan(jobs.length);
    // What the other thread had been given by then, and may not have begun.
    expect(countBegun()).toBeLessThanOrEqual(begunAtStop + 1);
  });

  test('loses with a thread that dies its own file, and no other', async () => {
    // It dies at the second file each thread is given.
    const thread = join(folder(), 'thread.mjs');
    writeFileSync(
      thread,
      `import { parentPort } from 'node:worker_threads';
       let files = 0;
       parentPort.on('message', ({ job }) => {
         if (++files === 2) process.exit(1);
         parentPort.postMessage({ ok: false, fault: job.input });
       });`,
    );
    const jobs = Array.from({ length: 9 }, (_, i) => ({ input: `${i}`, output: '', makeFolder: false }));
    const outcomes = await retuneInPool(jobs, OPTIONS, 2, undefined, pathToFileURL(thread));
    const lost = messages(outcomes).filter((message) => message === 'the thread ended');
    expect(outcomes).toHaveLength(9);
    expect(lost).toHaveLength(4);
    expect(outcomes.map(({ input }) => input)).toEqual(jobs.map(({ input }) => input));
  });
});

describe('leaveOutDone', () => {
  const folder = useTemporaryFolder();

  test('leaves out an output newer than its input, and not one that is older, missing or a folder', async () => {
    const at = (name: string) => join(folder(), name);
    const jobs = ['newer', 'older', 'missing', 'folder'].map((name) => ({
      input: at(`${name}-in`),
      output: at(`${name}-out`),
      makeFolder: false,
    }));
    for (const { input } of jobs) writeFileSync(input, '');
    for (const name of ['newer', 'older']) writeFileSync(at(`${name}-out`), '');
    cpSync('configs', at('folder-out'), { recursive: true });
    utimesSync(at('older-out'), 1000, 1000);
    const left = await leaveOutDone(jobs);
    expect(left.done).toBe(1);
    expect(left.jobs.map(({ input }) => input)).toEqual(
      ['older', 'missing', 'folder'].map((name) => at(`${name}-in`)),
    );
  });
});
