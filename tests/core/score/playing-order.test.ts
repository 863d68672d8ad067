import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { type Track, type TrackEvent, tracksOf } from '../../../src/core/midi/index.js';
import { visitInOrder } from '../../../src/core/score/index.js';
import { legalFile } from '../../support/midi-arbitraries.js';
import { musicalFile } from '../../support/musical-files.js';
import { forAll } from '../../support/properties.js';

/** Events of a track, written as `tick: bytes`. @example track('0: 90 3C 40', '96: 80 3C 40') */
function track(...lines: string[]): Track {
  const events = lines.map((line): TrackEvent => {
    const [tick, bytes] = line.split(': ');
    const [status, data1, data2] = bytes.split(' ').map((byte) => Number.parseInt(byte, 16));
    return { kind: 'channel', tick: Number(tick), status, data1, data2 };
  });
  return { kind: 'track', events };
}

/** What is visited, as `track tick: bytes`. */
function visited(...tracks: Track[]): string[] {
  const lines: string[] = [];
  visitInOrder(tracks, (event, index) => {
    if (event.kind !== 'channel') return;
    const bytes = [event.status, event.data1, event.data2].map((byte) =>
      byte.toString(16).toUpperCase().padStart(2, '0'),
    );
    lines.push(`${index} ${event.tick}: ${bytes.join(' ')}`);
  });
  return lines;
}

describe('the order of playing', () => {
  test('goes by tick, then by track, then as written', () => {
    const first = track('0: 90 3C 40', '96: 90 3E 40');
    const second = track('0: 90 40 40', '0: 90 43 40', '48: 90 41 40');
    expect(visited(first, second)).toEqual(
      '0 0: 90 3C 40, 1 0: 90 40 40, 1 0: 90 43 40, 1 48: 90 41 40, 0 96: 90 3E 40'.split(', '),
    );
  });

  test('is the same with any number of tracks', () => {
    // Controllers only: nothing goes first.
    const ticks = fc.array(fc.nat(6), { maxLength: 8 }).map((list) => list.sort((a, b) => a - b));
    forAll([fc.array(ticks, { maxLength: 12 })], (list) => {
      const tracks = list.map((its) => track(...its.map((tick, i) => `${tick}: B0 07 ${i.toString(16)}`)));
      const all = list.flatMap((its, index) => its.map((tick, i) => ({ tick, index, i })));
      const sorted = all.sort((a, b) => a.tick - b.tick || a.index - b.index || a.i - b.i);
      expect(visited(...tracks)).toEqual(
        sorted.map(({ tick, index, i }) => `${index} ${tick}: B0 07 0${i.toString(16)}`),
      );
    });
  });

  test('takes the note-offs of a tick first, whichever track they are in', () => {
    const first = track('0: 90 3C 40', '96: 90 3E 40');
    const second = track('0: 90 40 40', '96: 80 40 40');
    expect(visited(first, second).slice(2)).toEqual(['1 96: 80 40 40', '0 96: 90 3E 40']);
    // A note-on of velocity 0 is a note-off.
    const third = track('0: 90 40 40', '96: 90 40 00');
    expect(visited(first, third).slice(2)).toEqual(['1 96: 90 40 00', '0 96: 90 3E 40']);
  });

  test('leaves the end of a note of no length after its beginning', () => {
    expect(visited(track('0: 90 3C 40', '0: 80 3C 40'))).toEqual(['0 0: 90 3C 40', '0 0: 80 3C 40']);
  });

  test('takes one note-off first for each note that sounds, no more', () => {
    const repeated = track('0: 90 3C 40', '96: 90 3C 41', '96: 80 3C 40', '96: 80 3C 41');
    expect(visited(repeated).slice(1)).toEqual(['0 96: 80 3C 40', '0 96: 90 3C 41', '0 96: 80 3C 41']);
  });

  test.each(['40', '42'])(
    'leaves a note-off behind a pedal of its channel (controller %s), not of another',
    (pedal) => {
      const held = track('0: 90 3C 40', `96: B0 ${pedal} 7F`, '96: 80 3C 40');
      expect(visited(held).slice(1)).toEqual([`0 96: B0 ${pedal} 7F`, '0 96: 80 3C 40']);
      const other = track('0: 90 3C 40', `96: B1 ${pedal} 7F`, '96: 80 3C 40');
      expect(visited(other).slice(1)).toEqual(['0 96: 80 3C 40', `0 96: B1 ${pedal} 7F`]);
    },
  );

  test('leaves percussion as written', () => {
    const drums = track('0: 99 24 40', '96: 99 26 40', '96: 89 24 40');
    expect(visited(drums).slice(1)).toEqual(['0 96: 99 26 40', '0 96: 89 24 40']);
  });
});

test('the order of playing of any file visits every event once, and ticks never fall', () => {
  forAll([fc.oneof(legalFile, musicalFile)], (file) => {
    const tracks = tracksOf(file);
    const seen = tracks.map((): TrackEvent[] => []);
    let last = 0;
    visitInOrder(tracks, (event, index) => {
      expect(event.tick).toBeGreaterThanOrEqual(last);
      last = event.tick;
      seen[index].push(event);
    });
    tracks.forEach(({ events }, i) => {
      expect(seen[i].length).toBe(events.length);
      expect(new Set(seen[i])).toEqual(new Set(events));
    });
  });
});

test('the order of playing of any file leaves all but note-offs in order within a track', () => {
  forAll([musicalFile], (file) => {
    const tracks = tracksOf(file);
    const seen = tracks.map((): TrackEvent[] => []);
    visitInOrder(tracks, (event, index) => {
      if (!isOff(event)) seen[index].push(event);
    });
    expect(seen).toEqual(tracks.map(({ events }) => events.filter((event) => !isOff(event))));
  });
});

function isOff(event: TrackEvent): boolean {
  if (event.kind !== 'channel') return false;
  const type = event.status & 0xf0;
  return type === 0x80 || (type === 0x90 && event.data2 === 0);
}

describe('in an MPE zone', () => {
  const zone = ['0: B0 65 00', '0: B0 64 06', '0: B0 06 0F'];
  const held = ['0: 91 3C 40', '0: 99 40 40'];
  const atTheEnd = (...lines: string[]) => visited(track(...zone, ...held, ...lines)).slice(5);

  test('the note-offs of members go first, channel 10 included', () => {
    expect(atTheEnd('96: 92 43 40', '96: 81 3C 40', '96: 89 40 40')).toEqual(
      '0 96: 81 3C 40, 0 96: 89 40 40, 0 96: 92 43 40'.split(', '),
    );
  });

  test('no note-off goes before a pedal of the manager', () => {
    const lines = ['96: 92 43 40', '96: B0 40 7F', '96: 81 3C 40'];
    expect(atTheEnd(...lines)).toEqual(lines.map((line) => `0 ${line}`));
  });

  test('a note-off stays behind what its own finger does, and goes before what others do', () => {
    expect(atTheEnd('96: D1 00 00', '96: D9 00 00', '96: 81 3C 40')).toEqual(
      '0 96: D1 00 00, 0 96: D9 00 00, 0 96: 81 3C 40'.split(', '),
    );
    expect(atTheEnd('96: D9 00 00', '96: 81 3C 40')).toEqual('0 96: 81 3C 40, 0 96: D9 00 00'.split(', '));
  });
});
