// Runs the targets in this folder over a million cases, or those asked for:
//   npm run fuzz -- [--cases N] [--seed S] [--only TARGET] [--case NUMBER] [--input HEX] [--keep]
// A case that fails says how to run it again, alone. --keep writes what was found into tests/fuzz/seeds.
import { spawn } from 'node:child_process';
import { existsSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { parseArgs } from 'node:util';

const { values } = parseArgs({
  options: {
    cases: { type: 'string', default: '1000000' },
    seed: { type: 'string', default: '1' },
    only: { type: 'string' },
    case: { type: 'string' },
    input: { type: 'string' },
    keep: { type: 'boolean', default: false },
  },
});
for (const name of ['cases', 'seed', 'case']) {
  if (values[name] !== undefined && !/^[0-9]+$/.test(values[name]))
    fail(`--${name} takes a whole number, not "${values[name]}".`);
}
if ((values.input !== undefined || values.case !== undefined) && values.only === undefined)
  fail('--input and --case need --only.');
const here = new URL('.', import.meta.url);
if (values.only !== undefined && !existsSync(new URL(`${values.only}.test.ts`, here)))
  fail(`There is no target "${values.only}".`);

const env = { ...process.env, LEEWAY_FUZZ_CASES: values.cases, LEEWAY_FUZZ_SEED: values.seed };
if (values.only !== undefined) env.LEEWAY_FUZZ_ALONE = '1';
if (values.case !== undefined) env.LEEWAY_FUZZ_CASE = values.case;
if (values.input !== undefined) env.LEEWAY_FUZZ_INPUT = values.input;
if (values.keep) env.LEEWAY_FUZZ_KEEP = '1';
const only = `tests/fuzz/${values.only === undefined ? '' : `${values.only}.test.ts`}`;
const vitest = fileURLToPath(new URL('../../node_modules/vitest/vitest.mjs', here));
const root = fileURLToPath(new URL('../..', here));
const args = [vitest, 'run', '--config', '.config/vitest.fuzz.config.ts', only];
spawn(process.execPath, args, { cwd: root, env, stdio: 'inherit' }).on('close', (code) => {
  process.exitCode = code ?? 1;
});

function fail(sentence) {
  console.error(sentence);
  process.exit(2);
}
