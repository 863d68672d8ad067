import { readFileSync } from 'node:fs';
import { describe, expect, test } from 'vitest';
import { META, parseMidiFile, type TrackEvent } from '../../../src/core/midi/index.js';
import { type Piece, toPiece } from '../../../src/core/score/index.js';
import { numbers } from '../../support/numbers.js';

function read(name: string): Piece {
  const parsed = parseMidiFile(readFileSync(new URL(`../../../configs/demo/${name}.mid`, import.meta.url)));
  if (!parsed.ok) throw new Error(parsed.problem.message);
  return toPiece(parsed.value.file);
}

function toMessages({ timesMs, messages }: Piece): number[][] {
  return [...timesMs].map((ms, i) => [ms, ...messages.subarray(3 * i, 3 * i + 3)]);
}

function toFile(events: readonly TrackEvent[], format: 0 | 1 | 2 = 1) {
  return {
    format,
    division: { kind: 'ppq' as const, ticksPerQuarter: 100 },
    headerExtra: new Uint8Array(0),
    chunks: [{ kind: 'track' as const, events: [...events] }],
    wrapper: 'none' as const,
  };
}

const channel = (tick: number, status: number, data1: number, data2: number): TrackEvent => ({
  kind: 'channel',
  tick,
  status,
  data1,
  data2,
});

describe('a piece prepared for playing', () => {
  test('lasts 20 quarters at 80 a minute for one pass of the choir, with every note ended', () => {
    const piece = read('choir-warm-up');
    expect(piece.title).toBe('Warm-up of an amateur choir: round and round');
    expect(piece.lengthMs).toBe(15_000);
    const messages = toMessages(piece);
    const ons = messages.filter(([, status, , velocity]) => (status & 0xf0) === 0x90 && velocity > 0);
    const offs = messages.filter(([, status]) => (status & 0xf0) === 0x80);
    expect([ons.length, offs.length]).toEqual([15, 15]);
    expect(Math.max(...piece.timesMs)).toBeLessThanOrEqual(piece.lengthMs);
    expect([...piece.timesMs]).toEqual([...piece.timesMs].sort((a, b) => a - b));
    // Five bars of four quarters.
    expect(piece.barsMs).toEqual([0, 3000, 6000, 9000, 12_000]);
  });

  test('has percussion on its channel, and a 0 after short messages', () => {
    const piece = toPiece(
      toFile([
        channel(0, 0xc0, 19, 7),
        channel(0, 0x99, 36, 100),
        channel(100, 0x90, 60, 80),
        channel(200, 0x80, 60, 64),
      ]),
    );
    expect(toMessages(piece)).toEqual(numbers('0 0xc0 19 0, 0 0x99 36 100, 500 0x90 60 80, 1000 0x80 60 64'));
    expect(piece.lengthMs).toBe(1000);
    expect(piece.title).toBe('');
  });

  test('lasts until the end of its longest track', () => {
    const end: TrackEvent = { kind: 'meta', tick: 800, type: META.endOfTrack, data: new Uint8Array(0) };
    expect(toPiece(toFile([channel(0, 0x90, 60, 80), channel(100, 0x90, 60, 0), end])).lengthMs).toBe(4000);
  });

  test('has no messages for a file with nothing to play', () => {
    expect(toPiece(toFile([])).messages).toHaveLength(0);
  });
});

test('the first piece of a format 2 file is played', () => {
  const [first, second] = [
    [channel(0, 0x90, 60, 80), channel(100, 0x80, 60, 64)],
    [channel(0, 0x90, 72, 80), channel(100, 0x80, 72, 64)],
  ];
  const { chunks, ...rest } = toFile(first, 2);
  const both = { ...rest, chunks: [...chunks, { kind: 'track' as const, events: second }] };
  expect(toMessages(toPiece(both)).map(([, , key]) => key)).toEqual([60, 60]);
  const keys = toMessages(toPiece({ ...both, format: 1 })).map(([, , key]) => key);
  expect(keys).toEqual([60, 72, 60, 72]);
});

test("a piece's title has no control characters, of either half of Latin 1", () => {
  const data = Uint8Array.of(0x41, 0x07, 0x62, 0x7f, 0x9b, 0xe9);
  expect(toPiece(toFile([{ kind: 'meta', tick: 0, type: META.trackName, data }])).title).toBe('Abé');
});
