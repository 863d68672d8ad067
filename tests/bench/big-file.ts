import { META, type MidiFile, type TrackEvent } from '../../src/core/midi/index.js';

/**
 * Four voices that go round in chords, half of all events note-ons; an end of track besides in each of four tracks.
 * @example makeBigFile(1_000_000).chunks.length  // 4
 */
export function makeBigFile(count: number): MidiFile {
  const voices = 4;
  const events: TrackEvent[][] = Array.from({ length: voices }, () => []);
  const chords = [
    [48, 55, 64, 72],
    [45, 57, 64, 72],
    [50, 57, 65, 69],
    [43, 59, 62, 71],
  ];
  for (let n = 0; n < count / 2 / voices; n++) {
    const chord = chords[n % chords.length];
    for (let voice = 0; voice < voices; voice++) {
      const key = chord[voice] + (Math.floor(n / 64) % 5);
      events[voice].push({ kind: 'channel', tick: n * 240, status: 0x90 | voice, data1: key, data2: 80 });
      events[voice].push({
        kind: 'channel',
        tick: n * 240 + 230,
        status: 0x80 | voice,
        data1: key,
        data2: 64,
      });
    }
  }
  const chunks = events.map((list) => {
    list.push({
      kind: 'meta',
      tick: list[list.length - 1].tick,
      type: META.endOfTrack,
      data: new Uint8Array(0),
    });
    return { kind: 'track' as const, events: list };
  });
  const division = { kind: 'ppq' as const, ticksPerQuarter: 480 };
  return { format: 1, division, headerExtra: new Uint8Array(0), chunks, wrapper: 'none' };
}
