import { type ChildProcess, spawn } from 'node:child_process';
import { once } from 'node:events';
import { mkdir, readdir, readFile, rm, writeFile } from 'node:fs/promises';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { afterAll, describe, expect, test } from 'vitest';
import { Random, toSeed } from '../fuzz/random.js';
import { useTemporaryFolder } from '../support/temporary-folder.js';
import { pause } from '../support/until.js';
import { expectWhole } from '../support/whole-files.js';

/** Kills in all; by hand, LEEWAY_KILLS=300. */
const KILLS = Number(process.env.LEEWAY_KILLS ?? 40);
const SEED = Number(process.env.LEEWAY_KILLS_SEED ?? 1);
const PROGRAM = fileURLToPath(new URL('../../bin/leeway.js', import.meta.url));
const SLOW_DISK = new URL('../support/slow-disk.mjs', import.meta.url).href;
const DEMO = fileURLToPath(new URL('../../configs/demo/', import.meta.url));
const OLD = 'what stood there before';

/** A command, given the folder it writes into. */
interface Command {
  readonly name: string;
  readonly argv: (out: string) => string[];
  /** A name that an old file stands under in every other round. */
  readonly old: string;
  /** Pause of the slow disk. */
  readonly slowMs: number;
  /** How many of all kills. */
  readonly share: number;
}

const SONG = join(DEMO, 'choir-warm-up.mid');
const COMMANDS: readonly Command[] = [
  {
    name: 'retune',
    argv: (out) => ['retune', SONG, '-o', join(out, 'a.mid'), '--report', join(out, 'a.json')],
    old: 'a.mid',
    slowMs: 20,
    share: 0.2,
  },
  {
    name: 'retune a folder, side by side',
    argv: (out) => ['retune', DEMO, '-o', out, '--jobs', '2'],
    old: 'organ-sevenths.mid',
    slowMs: 20,
    share: 0.2,
  },
  {
    name: 'retune a folder, one by one',
    argv: (out) => ['retune', DEMO, '-o', out, '--jobs', '1'],
    old: 'organ-sevenths.mid',
    slowMs: 20,
    share: 0.15,
  },
  {
    name: 'compare',
    argv: (out) => ['compare', SONG, '-o', out, '--no-sound'],
    old: 'choir-warm-up.html',
    slowMs: 10,
    share: 0.2,
  },
  {
    name: 'render',
    argv: (out) => ['render', join(DEMO, 'trio-of-thirds.mid'), '-o', join(out, 'a.wav')],
    old: 'a.wav',
    slowMs: 1,
    share: 0.15,
  },
  {
    name: 'pump',
    argv: (out) => ['pump', 'I vi ii V', '-o', join(out, 'a.mid')],
    old: 'a.mid',
    slowMs: 20,
    share: 0.1,
  },
];
const tally: string[] = [];

const folder = useTemporaryFolder();
afterAll(() => console.log(tally.join('\n')));

describe.each(COMMANDS)('a command that writes files: $name', ({ name, argv, old, slowMs, share }) => {
  const kills = Math.max(2, Math.round(KILLS * share));

  test(`has under each name nothing, the old file, or the whole new one after ${kills} kills`, async () => {
    const random = new Random(toSeed(name, SEED));
    const out = join(folder(), 'out');
    const start = (): ChildProcess =>
      spawn(process.execPath, ['--import', SLOW_DISK, PROGRAM, ...argv(out)], {
        stdio: 'ignore',
        env: { ...process.env, LEEWAY_SLOW_DISK_MS: String(slowMs) },
      });
    const fromMs = performance.now();
    await mkdir(out);
    const first = start();
    const [code] = await once(first, 'close');
    expect(code).toBe(0);
    const lengthMs = performance.now() - fromMs;
    const whole = await readAll(out);
    expect(whole.size).toBeGreaterThan(0);
    for (const [file, bytes] of whole) expectWhole(file, bytes);

    const seen = { nothing: 0, old: 0, whole: 0, leftovers: 0 };
    for (let round = 0; round < kills; round++) {
      const signal = random.pick(['SIGKILL', 'SIGKILL', 'SIGKILL', 'SIGTERM', 'SIGINT'] as const);
      const hasOld = round % 2 === 1;
      await rm(out, { recursive: true });
      await mkdir(out);
      if (hasOld) await writeFile(join(out, old), OLD);
      const child = start();
      const ended = once(child, 'close');
      // Most of the time once it writes, and not while it is still being loaded.
      if (!random.oneIn(5)) await firstWrite(out, hasOld ? 1 : 0, child);
      await pause(random.below(random.oneIn(5) ? lengthMs : lengthMs / 2));
      child.kill(signal);
      const [itsCode, itsSignal] = await ended;
      // Done already, stopped in its own words, or ended by the signal.
      expect(itsSignal === signal || itsCode === 130 || itsCode === 0, `${itsCode} ${itsSignal}`).toBe(true);

      const found = await readAll(out);
      for (const file of whole.keys()) {
        const bytes = found.get(file);
        if (bytes === undefined) {
          expect(hasOld && file === old, `${file} after ${signal}`).toBe(false);
          seen.nothing++;
        } else if (hasOld && file === old && String(bytes) === OLD) seen.old++;
        else {
          expectWhole(file, bytes);
          expect(bytes.equals(whole.get(file) as Buffer), `${file} after ${signal}`).toBe(true);
          seen.whole++;
        }
      }
      const others = [...found.keys()].filter((file) => !whole.has(file));
      expect(others.filter((file) => !/^\.leeway-[0-9a-f-]+\.tmp$/.test(file))).toEqual([]);
      // Threads hear no signal: what they leave is cleared away by the next run, as after a kill.
      if (signal !== 'SIGKILL') expect(others, `after ${signal}`).toEqual([]);
      seen.leftovers += others.length;
      if (others.length > 0 && random.oneIn(2)) {
        // The next run clears it away.
        const next = start();
        expect((await once(next, 'close'))[0]).toBe(0);
        expect([...(await readAll(out)).keys()].sort()).toEqual([...whole.keys()].sort());
      }
    }
    tally.push(`${name}: ${kills} kills; ${JSON.stringify(seen)}`);
  }, 3_600_000);
});

test.each(COMMANDS)('$name reports that its folder went away while it wrote', async ({ argv, slowMs }) => {
  const out = join(folder(), 'out');
  await mkdir(out);
  const child = spawn(process.execPath, ['--import', SLOW_DISK, PROGRAM, ...argv(out)], {
    stdio: ['ignore', 'ignore', 'pipe'],
    env: { ...process.env, LEEWAY_SLOW_DISK_MS: String(5 * slowMs) },
  });
  let said = '';
  child.stderr.on('data', (piece) => {
    said += piece;
  });
  const ended = once(child, 'close');
  await firstWrite(out, 0, child);
  await rm(out, { recursive: true, force: true, maxRetries: 20, retryDelay: 5 });
  const [code] = await ended;
  expect(said).toMatch(/there is no such folder.*\[FILE_NO_FOLDER\]/);
  expect(code === 1 || code === 2, `exit code ${code}`).toBe(true);
  // A folder of files goes on with the next, for which it is made again.
  const left = await readAll(out).catch(() => new Map<string, Buffer>());
  for (const [name, bytes] of left) expectWhole(name, bytes);
});

/** Waits until something is written into a folder where so many files stand, or until the program has ended. */
async function firstWrite(out: string, standing: number, child: ChildProcess): Promise<void> {
  while (child.exitCode === null && (await readdir(out)).length <= standing) await pause(2);
}

async function readAll(out: string): Promise<Map<string, Buffer>> {
  const files = new Map<string, Buffer>();
  for (const name of await readdir(out)) files.set(name, await readFile(join(out, name)));
  return files;
}
