import { link, mkdir, symlink, writeFile } from 'node:fs/promises';
import { join, relative } from 'node:path';
import { describe, expect, test } from 'vitest';
import { planRetune } from '../../src/app/retune-plan.js';
import { useTemporaryFolder } from '../support/temporary-folder.js';

const folder = useTemporaryFolder();

/** A path inside the test's folder. */
const at = (...names: string[]): string => join(folder(), ...names);

async function make(...paths: string[]): Promise<void> {
  for (const path of paths) {
    await mkdir(join(at(path), '..'), { recursive: true });
    await writeFile(at(path), '');
  }
}

async function plan(inputs: string[], output: string, report?: string) {
  const { jobs, failures, several } = await planRetune(
    inputs.map((input) => at(input)),
    output === '-' ? '-' : `${at(output)}${output.endsWith('/') ? '/' : ''}`,
    report === undefined ? undefined : at(report),
  );
  const short = (path: string) => relative(folder(), path);
  return {
    jobs: jobs.map((job) => `${short(job.input)} > ${short(job.output)}`),
    failures: failures.map(({ input, error }) => `${short(input)} ${error.code}`),
    several,
  };
}

test('one file goes to a file, or into a folder that exists or is named as one', async () => {
  await make('a.mid');
  await mkdir(at('there'));
  expect((await plan(['a.mid'], 'b.mid')).jobs).toEqual(['a.mid > b.mid']);
  expect((await plan(['a.mid'], 'there')).jobs).toEqual(['a.mid > there/a.mid']);
  expect((await plan(['a.mid'], 'new/')).jobs).toEqual(['a.mid > new/a.mid']);
  expect((await plan(['a.mid'], 'b.mid')).several).toBe(false);
});

test('one file is a job though it is missing: reading it reports the mistake', async () => {
  expect((await plan(['no.mid'], 'b.mid')).jobs).toEqual(['no.mid > b.mid']);
});

describe('several inputs:', () => {
  test('a single folder is rebuilt under the output', async () => {
    await make('in/a.mid', 'in/deep/b.kar', 'in/deep/notes.txt');
    expect(await plan(['in'], 'out')).toEqual({
      jobs: ['in/a.mid > out/a.mid', 'in/deep/b.kar > out/deep/b.kar'],
      failures: [],
      several: true,
    });
  });

  test('folders among them keep their names', async () => {
    await make('one/a.mid', 'two/a.mid', 'c.mid');
    expect((await plan(['one', 'two', 'c.mid'], 'out')).jobs).toEqual([
      'one/a.mid > out/one/a.mid',
      'two/a.mid > out/two/a.mid',
      'c.mid > out/c.mid',
    ]);
  });

  test('an output inside the input is not retuned again', async () => {
    await make('in/a.mid', 'in/out/a.mid');
    expect((await plan(['in'], 'in/out')).jobs).toEqual(['in/a.mid > in/out/a.mid']);
  });

  test('a folder without a MIDI file is a failure, not an end', async () => {
    await make('in/notes.txt', 'a.mid');
    expect(await plan(['in', 'a.mid'], 'out')).toEqual({
      jobs: ['a.mid > out/a.mid'],
      failures: ['in NO_MIDI_FILES'],
      several: true,
    });
  });
});

describe('retune starts nothing', () => {
  const code = (error: string) => expect.objectContaining({ code: error });

  test('when an input would be overwritten, by whatever path', async () => {
    await make('in/a.mid', 'report.mid');
    await symlink(at('in'), at('link'));
    await link(at('in/a.mid'), at('hard.mid'));
    await expect(plan(['in/a.mid'], 'in/a.mid')).rejects.toEqual(code('OUTPUT_IS_INPUT'));
    await expect(plan(['in/a.mid'], 'in')).rejects.toEqual(code('OUTPUT_IS_INPUT'));
    await expect(plan(['in'], 'in')).rejects.toEqual(code('OUTPUT_IS_INPUT'));
    await expect(plan(['in'], 'link')).rejects.toEqual(code('OUTPUT_IS_INPUT'));
    await expect(plan(['in/a.mid'], 'hard.mid')).rejects.toEqual(code('OUTPUT_IS_INPUT'));
    await expect(plan(['report.mid'], 'b.mid', 'report.mid')).rejects.toEqual(code('OUTPUT_IS_INPUT'));
  });

  test('when two outputs would go to one place', async () => {
    await make('one/a.mid', 'two/a.mid');
    await expect(plan(['one/a.mid', 'two/a.mid'], 'out')).rejects.toEqual(code('OUTPUT_CLASH'));
    await expect(plan(['one/a.mid'], 'b.mid', 'b.mid')).rejects.toEqual(code('OUTPUT_CLASH'));
  });

  test('when the report would have no folder', async () => {
    await make('a.mid');
    await expect(plan(['a.mid'], 'b.mid', 'none/r.json')).rejects.toEqual(code('REPORT_NO_FOLDER'));
    // The folder of the outputs is made on the way.
    expect((await plan(['a.mid'], 'none/', 'none/r.json')).jobs).toEqual(['a.mid > none/a.mid']);
    await mkdir(at('none'));
    expect((await plan(['a.mid'], 'b.mid', 'none/r.json')).jobs).toEqual(['a.mid > b.mid']);
  });

  test('when several outputs would go to a file or to a stream', async () => {
    await make('a.mid', 'b.mid', 'c.mid');
    await expect(plan(['a.mid', 'b.mid'], 'c.mid')).rejects.toEqual(code('OUTPUT_NOT_FOLDER'));
    await expect(plan(['a.mid', 'b.mid'], '-')).rejects.toEqual(code('STREAM_ALONE'));
    await expect(planRetune(['-', at('a.mid')], at('out'))).rejects.toEqual(code('STREAM_ALONE'));
    await expect(planRetune(['-'], folder())).rejects.toEqual(code('STREAM_ALONE'));
  });
});
