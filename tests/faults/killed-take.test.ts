import { spawn } from 'node:child_process';
import { once } from 'node:events';
import { readdir, readFile } from 'node:fs/promises';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { expect, test } from 'vitest';
import { isNoteOff, isNoteOn, parseMidiFile, tracksOf } from '../../src/core/midi/index.js';
import { readElsewhere } from '../support/other-reader.js';
import { useTemporaryFolder } from '../support/temporary-folder.js';
import { until } from '../support/until.js';

const LOADER = new URL('../support/typescript-loader.mjs', import.meta.url).href;
const CHILD = fileURLToPath(new URL('../support/recording-child.ts', import.meta.url));
/** What a take may lose. */
const LOST_MS = 1000;

const folder = useTemporaryFolder();

/** Starts a session that records, kills it once it has played for so long, and gives what it says it played. */
async function playAndKill(forMs: number): Promise<{ atMs: number; note: string }[]> {
  const child = spawn(process.execPath, ['--import', LOADER, CHILD, folder()], {
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
  'killed after %i ms: all but the last second is there, in every file',
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
