import { execFileSync, spawnSync } from 'node:child_process';
import { getPriority } from 'node:os';
import { fileURLToPath } from 'node:url';
import { describe, expect, test } from 'vitest';
import type { GoneFirst } from '../../../support/going-first-child.js';

const LOADER = new URL('../../../support/typescript-loader.mjs', import.meta.url).href;
const CHILD = fileURLToPath(new URL('../../../support/going-first-child.ts', import.meta.url));
/** The tests may be run under nice(1). */
const NICENESS = getPriority();
const USUAL = { policy: 0, realTime: 0, niceness: NICENESS };
const BACK = { policy: 0, realTime: 0, niceness: Math.min(19, NICENESS + 10) };
/** @see sched.h: 2 is SCHED_RR */
const realTime = (priority: number) => ({ policy: 2, realTime: priority, niceness: NICENESS });

function run(env: NodeJS.ProcessEnv, before: readonly string[] = []) {
  const [program, ...words] = [...before, process.execPath, '--import', LOADER, CHILD];
  const said = execFileSync(program, words, { encoding: 'utf8', env });
  const { isFirst, main, made, threads } = JSON.parse(said) as GoneFirst;
  const kindOf = (thread: number) => threads.find(({ tid }) => tid === thread);
  const others = threads.filter(({ tid }) => tid !== main && !Object.values(made).includes(tid));
  return { isFirst, main: kindOf(main), of: (name: string) => kindOf(made[name]), others };
}

/** Whether whoever runs the tests may ask for real time here. */
const isAllowed = spawnSync('chrt', ['--rr', '5', 'true']).status === 0;

describe.runIf(process.platform === 'linux')('going first', () => {
  test('puts music first, its helpers next, and others last, as far as the system allows', () => {
    const { isFirst, main, of, others } = run(process.env);
    expect(isFirst).toBe(isAllowed);
    expect(main).toMatchObject(isAllowed ? realTime(5) : USUAL);
    expect(of('before')).toMatchObject(isAllowed ? realTime(1) : USUAL);
    expect(of('after')).toMatchObject(isAllowed ? realTime(5) : USUAL);
    expect(of('before, stood back')).toMatchObject(BACK);
    expect(of('after, stood back')).toMatchObject(BACK);
    // Node's own: four that collect and compile, at least.
    expect(others.filter(({ policy }) => policy === (isAllowed ? 2 : 0)).length).toBeGreaterThanOrEqual(4);
  });

  test('does not raise what has a low priority when everything runs under nice', () => {
    const { isFirst, of } = run(process.env, ['nice', '-n', '8']);
    expect(isFirst).toBe(isAllowed);
    const back = { ...BACK, niceness: Math.min(19, NICENESS + 18) };
    expect(of('before, stood back')).toMatchObject(back);
    expect(of('after, stood back')).toMatchObject(back);
  });

  test('changes nothing where chrt is missing, except for lowering priorities', () => {
    const { isFirst, main, of, others } = run({ ...process.env, PATH: '' });
    expect(isFirst).toBe(false);
    for (const thread of [main, of('before'), of('after'), ...others]) expect(thread).toMatchObject(USUAL);
    expect(of('before, stood back')).toMatchObject(BACK);
    expect(of('after, stood back')).toMatchObject(BACK);
  });
});
