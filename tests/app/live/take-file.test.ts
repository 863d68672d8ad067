import { readFile } from 'node:fs/promises';
import { join } from 'node:path';
import { expect, test } from 'vitest';
import { TAKE_TICKS_PER_MS, TakeFile } from '../../../src/app/live/take-folder.js';
import { META, parseMidiFile, toTempoMap, tracksOf } from '../../../src/core/midi/index.js';
import { useTemporaryFolder } from '../../support/temporary-folder.js';

const folder = useTemporaryFolder();

test("a take's file exists from its first write on, is named after its port, and has ticks of 50 µs", async () => {
  const take = new TakeFile('in', 2, 'Größe');
  await take.write(folder());
  take.buffer.channel(1234.56, 0x90, 60, 80);
  await take.write(folder());
  await take.write(folder());
  expect(take.messages).toBe(1);
  await take.finish();
  const outcome = parseMidiFile(await readFile(join(folder(), 'in-2 Größe.mid')));
  if (!outcome.ok) throw new Error(outcome.problem.message);
  const { file, warnings } = outcome.value;
  expect(warnings).toEqual([]);
  const [name, tempo, note, end, ...more] = tracksOf(file)[0].events;
  expect(name).toMatchObject({ type: META.trackName, data: new TextEncoder().encode('Größe') });
  expect(tempo).toMatchObject({ type: META.tempo });
  expect(note).toEqual({ kind: 'channel', tick: 24_691, status: 0x90, data1: 60, data2: 80 });
  expect(end).toMatchObject({ type: META.endOfTrack });
  expect(more).toEqual([]);
  expect(toTempoMap(file).toMs(TAKE_TICKS_PER_MS)).toBe(1);
});

test("a take's file that was never written leaves nothing behind", async () => {
  const take = new TakeFile('out', 1, 'Synth');
  await take.finish();
  await take.abandon();
  expect(take.messages).toBe(0);
});
