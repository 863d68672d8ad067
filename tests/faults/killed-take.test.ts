import { spawn } from 'node:child_process';
import { once } from 'node:events';
import { readdir, readFile, rm } from 'node:fs/promises';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { expect, test } from 'vitest';
import { isNoteOff, isNoteOn, parseMidiFile, tracksOf } from '../../src/core/midi/index.js';
import { Random } from '../fuzz/random.js';
import { readElsewhere } from '../support/other-reader.js';
import { useTemporaryFolder } from '../support/temporary-folder.js';
import { pause, until } from '../support/until.js';

const LOADER = new URL('../support/typescript-loader.mjs', import.meta.url).href;
const CHILD = fileURLToPath(new URL('../support/recording-child.ts', import.meta.url));
/** What a take may lose. */
const LOST_MS = 1000;

/** Kills on a slow disk; by hand, LEEWAY_KILLS=300 makes it 23. */
const KILLS = Math.max(3, Math.round(Number(process.env.LEEWAY_KILLS ?? 40) * 0.075));
const SLOW_DISK = new URL('../support/slow-disk.mjs', import.meta.url).href;

const folder = useTemporaryFolder();

/**
 * Starts a session that records, kills it once it has played for so long, and gives what it says it played.
 * @param stopsFor how long before it is asked to stop; undefined: it isn't
 */
async function playAndKill(
  forMs: number,
  { slow = false, stopsFor }: { slow?: boolean; stopsFor?: number | undefined } = {},
): Promise<{ atMs: number; note: string }[]> {
  const before = slow ? ['--import', SLOW_DISK] : [];
  const child = spawn(process.execPath, [...before, '--import', LOADER, CHILD, folder()], {
    stdio: ['ignore', 'pipe', 'inherit'],
  });
  let said = '';
  child.stdout.on('data', (piece) => {
    said += piece;
  });
  const ended = once(child, 'close');
  const timeOf = (line: string | undefined) => Number(line?.split(' ')[0] ?? 0);
  try {
    await until('the first note', () => said.includes('\n'), 60_000);
    // Its own clock counts: on a busy computer it may not have had its turn.
    const firstMs = timeOf(said.split('\n')[0]);
    await until('the end', () => timeOf(said.split('\n').at(-2)) - firstMs > forMs, forMs + 60_000);
    if (stopsFor !== undefined) {
      child.kill('SIGTERM');
      await pause(stopsFor);
    }
  } finally {
    child.kill('SIGKILL');
  }
  await ended;
  return said
    .split('\n')
    .slice(0, -1)
    .map((line) => line.split(' '))
    .map(([atMs, status, key]) => ({ atMs: Number(atMs), note: `${status} ${key}` }));
}

test.each([1300, 2300])(
  'a take killed after %i ms has all but the last second in every file',
  async (forMs) => {
    const played = await playAndKill(forMs);
    const lastMs = played[played.length - 1].atMs;
    const [take] = await readdir(folder());
    const at = (name: string) => join(folder(), take, name);

    const sure = played.filter(({ atMs }) => atMs < lastMs - LOST_MS).map(({ note }) => note);
    expect(sure.length).toBeGreaterThan(5);
    for (const name of ['in-1 Keys.mid', 'out-1 Synth.mid']) {
      const bytes = await readFile(at(name));
      const outcome = parseMidiFile(bytes);
      if (!outcome.ok) throw new Error(outcome.problem.message);
      const theirs = readElsewhere(bytes)[0];
      const [{ events }] = tracksOf(outcome.value.file);
      for (const its of [events, theirs]) {
        const notes = its.flatMap((event) => {
          if (event?.kind !== 'channel') return [];
          const { status, data1, data2 } = event;
          return isNoteOn(status, data2) || isNoteOff(status, data2) ? [`${status & 0xf0} ${data1}`] : [];
        });
        expect(notes.slice(0, sure.length)).toEqual(sure);
        expect(notes.length).toBeLessThanOrEqual(played.length + 1);
      }
    }
    const lines = (await readFile(at('ledger.jsonl'), 'utf8')).split('\n').slice(0, -1);
    expect(lines.map((line) => JSON.parse(line).kind).slice(0, 2)).toEqual(['leeway take', 'settings']);
  },
);

test(`a take killed ${KILLS} times on a slow disk, playing or stopping, leaves only readable files`, async () => {
  const random = new Random(20_261);
  const seen = { playing: 0, stopping: 0 };
  for (let round = 0; round < KILLS; round++) {
    const stopsFor = round % 2 === 1 ? random.below(300) : undefined;
    await playAndKill(random.below(1200), { slow: true, stopsFor });
    const [take] = await readdir(folder());
    const at = (name: string) => join(folder(), take, name);
    const names = await readdir(join(folder(), take));
    for (const name of names.filter((one) => one.endsWith('.mid'))) {
      const bytes = await readFile(at(name));
      const outcome = parseMidiFile(bytes);
      expect(outcome.ok, `${name}: ${outcome.ok ? '' : outcome.problem.message}`).toBe(true);
      expect(readElsewhere(bytes)).toHaveLength(1);
    }
    const lines = (await readFile(at('ledger.jsonl'), 'utf8')).split('\n').slice(0, -1);
    for (const line of lines) JSON.parse(line);
    const others = names.filter((name) => !/^(in-1 Keys\.mid|out-1 Synth\.mid|ledger\.jsonl)$/.test(name));
    expect(others.filter((name) => !/^\.leeway-[0-9a-f-]+\.tmp$/.test(name))).toEqual([]);
    if (stopsFor === undefined) seen.playing++;
    else seen.stopping++;
    await rm(join(folder(), take), { recursive: true });
  }
  console.log(`take: ${KILLS} kills; ${JSON.stringify(seen)}`);
}, 3_600_000);
