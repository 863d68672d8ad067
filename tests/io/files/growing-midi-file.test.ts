import { readdir, readFile, rm } from 'node:fs/promises';
import { join } from 'node:path';
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import {
  type Division,
  formatMidiFile,
  META,
  parseMidiFile,
  type TrackEvent,
  tracksOf,
} from '../../../src/core/midi/index.js';
import { GrowingMidiFile } from '../../../src/io/files/growing-midi-file.js';
import { type DiskWrite, MemoryDisk, replay } from '../../support/memory-disk.js';
import { messagePieces } from '../../support/midi-arbitraries.js';
import { readElsewhere } from '../../support/other-reader.js';
import { amongAll, times } from '../../support/properties.js';
import { useTemporaryFolder } from '../../support/temporary-folder.js';

const DIVISION: Division = { kind: 'ppq', ticksPerQuarter: 10_000 };
const HEAD: TrackEvent[] = [{ kind: 'meta', tick: 0, type: META.tempo, data: Uint8Array.of(7, 0xa1, 0x20) }];

const folder = useTemporaryFolder();

function note(tick: number, key = 60): TrackEvent {
  return { kind: 'channel', tick, status: 0x90, data1: key, data2: 80 };
}

const isMessage = (event: TrackEvent | undefined) => event?.kind === 'channel' || event?.kind === 'sysex';

/** The messages of the one track, as our reader and as the other one find them, and the warnings of ours. */
function readBoth(bytes: Uint8Array) {
  const outcome = parseMidiFile(bytes);
  if (!outcome.ok) throw new Error(outcome.problem.message);
  const { file, warnings } = outcome.value;
  const ours = tracksOf(file)[0].events.filter(isMessage);
  const theirs = readElsewhere(bytes)[0].filter(isMessage);
  return { ours, theirs, codes: warnings.map(({ code }) => code) };
}

/** Everything a kill may leave of the writes so far: the last one made in part or not at all. */
function* cuts(writes: readonly DiskWrite[]): Generator<{ image: Uint8Array; whole: number }> {
  for (let whole = 1; whole <= writes.length; whole++) {
    const before = writes.slice(0, whole);
    yield { image: replay(before), whole };
    const next = writes[whole];
    // The length of the track is four bytes that go over in one call; only what goes behind the end is cut anywhere.
    if (next === undefined || next.position < replay(before).length) continue;
    for (let length = 1; length < next.bytes.length; length++)
      yield { image: replay([...before, { ...next, bytes: next.bytes.slice(0, length) }]), whole };
  }
}

describe('a growing MIDI file', () => {
  test('property: opens in both readers when it is cut anywhere, with all that was appended before', async () => {
    let tried = 0;
    await fc.assert(
      fc.asyncProperty(messagePieces, async (pieces) => {
        const disk = new MemoryDisk();
        const file = await GrowingMidiFile.create('a', DIVISION, HEAD, disk.openNew);
        const wholeAfter: { writes: number; events: TrackEvent[] }[] = [{ writes: 1, events: [] }];
        for (const piece of pieces) {
          await file.append(piece);
          const last = wholeAfter[wholeAfter.length - 1];
          wholeAfter.push({ writes: disk.writes.length, events: [...last.events, ...piece] });
        }
        for (const { image, whole } of cuts(disk.writes)) {
          const { ours, theirs } = readBoth(image);
          const sure = wholeAfter.filter(({ writes }) => writes <= whole).at(-1)?.events ?? [];
          const next = wholeAfter.find(({ writes }) => writes > whole)?.events ?? sure;
          const found = ours.length === sure.length ? sure : next;
          expect(ours).toEqual(found);
          expect(theirs).toEqual(found);
          tried++;
        }
      }),
      { numRuns: times(60) },
    );
    expect(tried).toBeGreaterThan(amongAll(1000));
  });

  test('is right after each append, without a warning', async () => {
    const disk = new MemoryDisk();
    const file = await GrowingMidiFile.create('a', DIVISION, HEAD, disk.openNew);
    for (let i = 1; i <= 5; i++) {
      await file.append([note(100 * i), note(100 * i + 50, 64)]);
      const { ours, theirs, codes } = readBoth(disk.read('a'));
      expect(codes).toEqual([]);
      expect(ours).toHaveLength(2 * i);
      expect(theirs).toEqual(ours);
    }
  });

  test('has no chunk behind the track, whatever its bytes look like', async () => {
    const disk = new MemoryDisk();
    const file = await GrowingMidiFile.create('a', DIVISION, HEAD, disk.openNew);
    // Wait, lead and length of the event are four bytes; then, as a reader of chunks sees it: an empty one, a cut one.
    const data = new Uint8Array(16_000);
    data.set([0, 0, 0, 0, 0x41, 0x42, 0x43, 0x44, 0x7f, 0, 0, 0]);
    await file.append([{ kind: 'sysex', tick: 0, lead: 0xf7, data }]);
    const cut = replay(disk.writes.slice(0, 2)).slice(0, 10_000);
    expect(readBoth(cut)).toEqual({ ours: [], theirs: [], codes: ['SMF_TRAILING_BYTES'] });
  });

  test('writes nothing when there is nothing to append', async () => {
    const disk = new MemoryDisk();
    const file = await GrowingMidiFile.create('a', DIVISION, HEAD, disk.openNew);
    await file.append([]);
    expect(disk.writes).toHaveLength(1);
  });

  test('is, when it is finished, as if it had been written at once', async () => {
    const path = join(folder(), 'a.mid');
    const file = await GrowingMidiFile.create(path, DIVISION, HEAD);
    const events = [note(10), note(20), note(0x2fffffff, 72)];
    for (const event of events) await file.append([event]);
    const grown = await readFile(path);
    await file.finish();
    const finished = new Uint8Array(await readFile(path));
    const atOnce = formatMidiFile({
      format: 0,
      division: DIVISION,
      headerExtra: new Uint8Array(0),
      chunks: [{ kind: 'track', events: [...HEAD, ...events] }],
      wrapper: 'none',
    });
    expect(finished).toEqual(atOnce);
    expect(grown.length).toBeGreaterThan(finished.length);
    expect(await readdir(folder())).toEqual(['a.mid']);
  });

  test('reports a full disk, and still has what it had', async () => {
    for (let n = 2; n <= 4; n++) {
      const disk = new MemoryDisk();
      const file = await GrowingMidiFile.create('a', DIVISION, HEAD, disk.openNew);
      disk.isFull = (count) => count === n + 3;
      await file.append([note(1)]);
      await expect(file.append([note(2)])).rejects.toMatchObject({ code: 'FILE_NO_SPACE' });
      const { ours } = readBoth(disk.read('a'));
      expect(ours.length).toBeGreaterThanOrEqual(1);
      await file.abandon();
      expect(disk.closed).toEqual(['a']);
    }
  });

  test('reports a removed folder at the next append', async () => {
    const path = join(folder(), 'a.mid');
    const file = await GrowingMidiFile.create(path, DIVISION, HEAD);
    await rm(path);
    await expect(file.append([note(1)])).rejects.toMatchObject({ code: 'FILE_NO_FOLDER' });
    await file.abandon();
  });
});
