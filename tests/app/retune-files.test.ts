import { existsSync, mkdirSync, readdirSync, symlinkSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, test } from 'vitest';
import { DISK, type FileAccess } from '../../src/app/midi-source.js';
import { retuneFiles, retuneOne } from '../../src/app/retune-files.js';
import { planRetune } from '../../src/app/retune-plan.js';
import { DEFAULT_PLAN } from '../../src/core/score/index.js';
import { DEFAULT_SETTINGS } from '../../src/core/tuner/index.js';
import { LeewayError } from '../../src/io/leeway-error.js';
import { buildMidiBytes, PUMP } from '../support/build-midi.js';
import { useTemporaryFolder } from '../support/temporary-folder.js';

const folder = useTemporaryFolder();
const OPTIONS = {
  settings: DEFAULT_SETTINGS,
  outlet: { kind: 'mpe', bendRange: undefined },
  plan: DEFAULT_PLAN,
} as const;

const at = (...names: string[]): string => join(folder(), ...names);

function write(name: string, bytes = buildMidiBytes(PUMP)): string {
  writeFileSync(at(name), bytes);
  return at(name);
}

describe('retuneFiles', () => {
  test('goes on with the rest when one file fails', async () => {
    const jobs = [write('a.mid'), write('bad.mid', Uint8Array.of(1, 2, 3)), write('c.mid')].map((input) => ({
      input,
      output: `${input}.out`,
      makeFolder: false,
    }));
    const told: boolean[] = [];
    const outcomes = await retuneFiles(jobs, OPTIONS, ({ ok }) => told.push(ok));
    expect(told).toEqual([true, false, true]);
    const [, bad] = outcomes;
    expect(bad.ok ? undefined : bad.error).toBeInstanceOf(LeewayError);
    expect(jobs.map(({ output }) => existsSync(output))).toEqual([true, false, true]);
  });

  test('reports a write that fails, and leaves nothing behind', async () => {
    const full: FileAccess = {
      read: DISK.read,
      write: () =>
        Promise.reject(new LeewayError({ code: 'FILE_NO_SPACE', message: 'Full.', advice: 'Free some.' })),
    };
    const job = { input: write('a.mid'), output: at('b.mid'), makeFolder: false };
    const [outcome] = await retuneFiles([job], OPTIONS, () => {}, full);
    expect(outcome).toMatchObject({ ok: false, error: { code: 'FILE_NO_SPACE' } });
    expect(readdirSync(folder())).toEqual(['a.mid']);
  });

  test('makes a missing folder only where the plan says so', async () => {
    const input = write('a.mid');
    const output = at('new', 'deep', 'a.mid');
    await expect(retuneOne({ input, output, makeFolder: false }, OPTIONS)).rejects.toMatchObject({
      code: 'FILE_NO_FOLDER',
    });
    expect((await retuneOne({ input, output, makeFolder: true }, OPTIONS)).output).toBe(output);
    expect(existsSync(output)).toBe(true);
  });
});

describe('planRetune', () => {
  test('does not retune in a second run what the first wrote below its input', async () => {
    mkdirSync(at('songs'));
    mkdirSync(at('songs', 'pure'));
    write('songs/a.mid');
    write('songs/pure/a.mid');
    const { jobs } = await planRetune([at('songs')], at('songs', 'pure'));
    expect(jobs).toEqual([
      { input: at('songs', 'a.mid'), output: at('songs', 'pure', 'a.mid'), makeFolder: true },
    ]);
  });

  test('gives outputs of several folders the names of these folders', async () => {
    for (const name of ['x', 'y']) {
      mkdirSync(at(name));
      write(`${name}/a.mid`);
    }
    const { jobs } = await planRetune([at('x'), at('y')], at('out'));
    expect(jobs.map(({ output }) => output)).toEqual([at('out', 'x', 'a.mid'), at('out', 'y', 'a.mid')]);
  });

  test('recognises an input under any name', async () => {
    const input = write('a.mid');
    symlinkSync(input, at('link.mid'));
    await expect(planRetune([input], at('link.mid'))).rejects.toMatchObject({ code: 'OUTPUT_IS_INPUT' });
    await expect(planRetune([input], at('b.mid'), input)).rejects.toMatchObject({ code: 'OUTPUT_IS_INPUT' });
  });

  test('gives the report a separate place', async () => {
    const plan = planRetune([write('a.mid')], at('b.mid'), at('b.mid'));
    await expect(plan).rejects.toMatchObject({ code: 'OUTPUT_CLASH' });
  });
});
