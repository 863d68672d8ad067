import { describe, expect, test } from 'vitest';
import { type NamedPiece, PiecePlayer } from '../../../src/app/live/piece-player.js';
import type { PlayingState } from '../../../src/core/monitor/index.js';
import type { Clock } from '../../../src/io/clock/index.js';

/** A clock that goes when it is told to. */
class HandClock implements Clock {
  nowMs = 1000;
  readonly #tickers = new Set<{ ms: number; run: () => void; nextMs: number }>();
  readonly now = (): number => this.nowMs;

  every(ms: number, run: () => void) {
    const ticker = { ms, run, nextMs: this.nowMs + ms };
    this.#tickers.add(ticker);
    return { stop: () => void this.#tickers.delete(ticker) };
  }

  get tickers(): number {
    return this.#tickers.size;
  }

  wait(ms: number): void {
    const untilMs = this.nowMs + ms;
    for (;;) {
      const next = [...this.#tickers].sort((a, b) => a.nextMs - b.nextMs)[0];
      if (next === undefined || next.nextMs > untilMs) break;
      // What fell due during a sleep is called once.
      this.nowMs = Math.max(this.nowMs, next.nextMs);
      next.nextMs = this.nowMs + next.ms;
      next.run();
    }
    this.nowMs = untilMs;
  }
}

const PIECE: NamedPiece = {
  name: 'two',
  title: 'Two notes',
  lengthMs: 1000,
  timesMs: Float64Array.of(0, 0, 400, 400, 800),
  messages: Uint8Array.of(0xc0, 19, 0, 0x90, 60, 80, 0x80, 60, 64, 0x90, 64, 80, 0x80, 64, 64),
};

function open() {
  const clock = new HandClock();
  const sent: string[] = [];
  const told: (PlayingState | null)[] = [];
  const player = new PiecePlayer(clock, {
    play: (bytes) => sent.push(`${clock.nowMs - 1000} ${[...bytes].join(' ')}`),
    release: () => sent.push(`${clock.nowMs - 1000} let go`),
    tell: (playing) => told.push(playing),
  });
  return { clock, sent, told, player };
}

describe('a piece player', () => {
  test('sends every message whole at its time, and ends in silence', () => {
    const { clock, sent, told, player } = open();
    player.start(PIECE, 1, false);
    clock.wait(2000);
    expect(sent).toEqual(
      '0 192 19, 0 144 60 80, 400 128 60 64, 400 144 64 80, 800 128 64 64, 1000 let go'.split(', '),
    );
    expect(told).toEqual([
      {
        name: 'two',
        title: 'Two notes',
        tempo: 1,
        loop: false,
        pass: { n: 1, atMs: 1000 },
        isPaused: false,
        positionMs: 0,
        atMs: 1000,
        lengthMs: 1000,
        fromMs: 0,
        toMs: 1000,
      },
      null,
    ]);
    expect(clock.tickers).toBe(0);
  });

  test('repeats a piece: each pass is reported, and begins with all notes released', () => {
    const { clock, sent, told, player } = open();
    player.start(PIECE, 2, true);
    clock.wait(1100);
    expect(sent.filter((line) => line.endsWith('let go'))).toEqual(['500 let go', '1000 let go']);
    expect(told.map((one) => one?.pass)).toEqual([
      { n: 1, atMs: 1000 },
      { n: 2, atMs: 1500 },
      { n: 3, atMs: 2000 },
    ]);
    player.setLoop(false);
    clock.wait(1000);
    expect(told.at(-1)).toBeNull();
  });

  test('goes on from where it was at another tempo', () => {
    const { clock, sent, told, player } = open();
    player.start(PIECE, 1, false);
    clock.wait(200);
    player.setTempo(0.5);
    clock.wait(396);
    expect(sent).toHaveLength(2);
    clock.wait(8);
    expect(sent).toHaveLength(4);
    expect(told.at(-1)).toMatchObject({ tempo: 0.5, atMs: 800, lengthMs: 1000 });
  });

  test('releases everything at once when it is stopped, or started again', () => {
    const { clock, sent, told, player } = open();
    player.start(PIECE, 1, true);
    clock.wait(100);
    player.start(PIECE, 1, true);
    player.stop();
    player.stop();
    expect(sent.slice(2)).toEqual(['100 let go', '100 192 19', '100 144 60 80', '100 let go']);
    expect(told.at(-1)).toBeNull();
    clock.wait(5000);
    expect(sent).toHaveLength(6);
  });

  test('goes on after a sleep of the computer, and does not catch up', () => {
    const { clock, sent, player } = open();
    player.start(PIECE, 1, false);
    clock.wait(100);
    clock.nowMs += 60_000;
    clock.wait(10);
    expect(sent.slice(2).map((line) => line.split(' ').slice(1).join(' '))).toEqual([
      '128 60 64',
      '144 64 80',
    ]);
  });

  test('repeats an empty piece no more than four times a second', () => {
    const { clock, told, player } = open();
    player.start(
      { ...PIECE, lengthMs: 0, timesMs: new Float64Array(0), messages: new Uint8Array(0) },
      1,
      true,
    );
    clock.wait(1000);
    expect(told).toHaveLength(5);
  });
});
