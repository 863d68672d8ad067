import { expect, test } from 'vitest';
import { META, type MidiFile, tracksOf } from '../../../src/core/midi/index.js';
import { toTimeline } from '../../../src/core/score/index.js';
import { buildMidi } from '../../support/build-midi.js';
import { musicalFile } from '../../support/musical-files.js';
import { forAll } from '../../support/properties.js';

test('a timeline has every message once, at its time, with three bytes each', () => {
  const { timesMs, messages, receivers, lengthMs } = toTimeline(
    buildMidi([
      [0, 2, 60],
      [1, 2, 64],
    ]),
  );
  expect([...timesMs]).toEqual([0, 500, 1000, 1000]);
  expect([...messages]).toEqual([0x90, 60, 80, 0x90, 64, 80, 0x80, 60, 64, 0x80, 64, 64]);
  expect([receivers, lengthMs]).toEqual([1, 1000]);
});

test('a timeline leaves out nothing but metas, has percussion, and its time never goes back', () => {
  forAll([musicalFile], (file) => {
    const tracks = file.format === 2 ? tracksOf(file).slice(0, 1) : tracksOf(file);
    const events = tracks.flatMap((track) => track.events);
    const { timesMs, system, pieces, lengthMs } = toTimeline(file);
    expect(timesMs.length).toBe(events.filter((event) => event.kind !== 'meta').length);
    expect(system.size).toBe(events.filter((event) => event.kind === 'sysex').length);
    for (let i = 1; i < timesMs.length; i++) expect(timesMs[i]).toBeGreaterThanOrEqual(timesMs[i - 1]);
    expect(lengthMs).toBeGreaterThanOrEqual(timesMs.at(-1) ?? 0);
    expect(pieces).toBe(file.format === 2 ? tracksOf(file).length : 1);
  });
});

test("a timeline of a format 2 file has the piece asked for, at that piece's tempo", () => {
  const one = buildMidi([[0, 1, 60]]);
  const two = buildMidi([[0, 1, 72]]);
  const [first, second] = [...tracksOf(one), ...tracksOf(two)];
  second.events.unshift({ kind: 'meta', tick: 0, type: META.tempo, data: Uint8Array.of(0x0f, 0x42, 0x40) });
  const file: MidiFile = { ...one, format: 2, chunks: [first, second] };
  expect(toTimeline(file).lengthMs).toBe(500);
  expect(toTimeline(file, 1).lengthMs).toBe(1000);
  expect(toTimeline(file, 1).messages[1]).toBe(72);
  expect(toTimeline(file, 7).timesMs.length).toBe(0);
});
