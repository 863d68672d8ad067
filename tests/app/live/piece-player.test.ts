import { describe, expect, test } from 'vitest';
import { PiecePlayer } from '../../../src/app/live/piece-player.js';
import type { NamedPiece } from '../../../src/app/live/piece-stretch.js';
import type { PlayingState } from '../../../src/core/monitor/index.js';
import { HandClock } from '../../support/hand-clock.js';

const PIECE: NamedPiece = {
  name: 'two',
  title: 'Two notes',
  lengthMs: 1000,
  timesMs: Float64Array.of(0, 0, 400, 400, 800),
  barsMs: [0],
  messages: Uint8Array.of(0xc0, 19, 0, 0x90, 60, 80, 0x80, 60, 64, 0x90, 64, 80, 0x80, 64, 64),
};

function open() {
  const clock = new HandClock();
  const sent: string[] = [];
  const told: (PlayingState | null)[] = [];
  const rebuilt: string[] = [];
  const player = new PiecePlayer(clock, {
    play: (bytes) => sent.push(`${clock.nowMs - 1000} ${[...bytes].join(' ')}`),
    release: () => sent.push(`${clock.nowMs - 1000} let go`),
    rebuild: (past) => rebuilt.push(past.passes.map(({ n, atMs }) => `${n}: ${atMs - 1000}`).join()),
    tell: (playing) => told.push(playing),
  });
  return { clock, sent, told, rebuilt, player };
}

describe('a piece player', () => {
  test('sends every message whole at its time, and ends in silence', () => {
    const { clock, sent, told, player } = open();
    player.start(PIECE, { tempo: 1, loop: false });
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
    player.start(PIECE, { tempo: 2, loop: true });
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
    player.start(PIECE, { tempo: 1, loop: false });
    clock.wait(200);
    player.setTempo(0.5);
    clock.wait(396);
    expect(sent).toHaveLength(2);
    clock.wait(8);
    expect(sent).toHaveLength(4);
    expect(told.at(-1)).toMatchObject({ tempo: 0.5, positionMs: 200, atMs: 1200, lengthMs: 1000 });
  });

  test('releases everything at once when it is stopped, or started again', () => {
    const { clock, sent, told, player } = open();
    player.start(PIECE, { tempo: 1, loop: true });
    clock.wait(100);
    player.start(PIECE, { tempo: 1, loop: true });
    player.stop();
    player.stop();
    expect(sent.slice(2)).toEqual(['100 let go', '100 192 19', '100 144 60 80', '100 let go']);
    expect(told.at(-1)).toBeNull();
    clock.wait(5000);
    expect(sent).toHaveLength(6);
  });

  test('goes on after a sleep of the computer, and does not catch up', () => {
    const { clock, sent, player } = open();
    player.start(PIECE, { tempo: 1, loop: false });
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
      { tempo: 1, loop: true },
    );
    clock.wait(1000);
    expect(told).toHaveLength(5);
  });

  test('pauses and goes on, at whatever tempo', () => {
    const { clock, sent, told, player } = open();
    player.start(PIECE, { tempo: 1, loop: true });
    clock.wait(100);
    player.pause(true);
    player.pause(true);
    player.setTempo(2);
    clock.wait(5000);
    expect(sent).toHaveLength(2);
    expect(told.at(-1)).toMatchObject({ isPaused: true, positionMs: 100, tempo: 2 });
    player.pause(false);
    clock.wait(148);
    expect(sent).toHaveLength(2);
    clock.wait(8);
    expect(sent).toHaveLength(4);
    player.pause(true);
    player.stop();
    expect(sent.at(-1)).toBe('5256 let go');
    expect(clock.tickers).toBe(0);
  });

  test('goes to the next chord at once, and pauses there, over the end of a pass too', () => {
    const { clock, sent, told, rebuilt, player } = open();
    player.start(PIECE, { tempo: 1, loop: true });
    clock.wait(100);
    player.step(1);
    expect(sent.slice(2)).toEqual(['100 128 60 64', '100 144 64 80']);
    expect(told.at(-1)).toMatchObject({ isPaused: true, positionMs: 400, pass: { n: 1 } });
    player.step(1);
    expect(sent.slice(4)).toEqual(['100 128 64 64', '100 let go', '100 192 19', '100 144 60 80']);
    expect(told.at(-1)).toMatchObject({ isPaused: true, positionMs: 0, pass: { n: 2, atMs: 1100 } });
    player.setLoop(false);
    player.step(1);
    player.step(1);
    expect(told.at(-1)).toMatchObject({ positionMs: 400, pass: { n: 2 } });
    expect(rebuilt).toEqual(['']);
  });

  test('goes to the chord before by playing everything up to it again, over the beginning of a pass too', () => {
    const { clock, told, rebuilt, player } = open();
    player.start(PIECE, { tempo: 2, loop: true });
    clock.wait(700);
    expect(told.at(-1)).toMatchObject({ pass: { n: 2 } });
    player.step(-1);
    // The second chord of pass 2 sounded; the first is at its beginning, and a pass lasts 500 ms.
    expect(rebuilt.slice(1)).toEqual(['1: 200,2: 700']);
    expect(told.at(-1)).toMatchObject({
      isPaused: true,
      positionMs: 0,
      atMs: 1700,
      pass: { n: 2, atMs: 1700 },
    });
    player.step(-1);
    expect(rebuilt.at(-1)).toBe('1: 500');
    expect(told.at(-1)).toMatchObject({ positionMs: 400, pass: { n: 1, atMs: 1500 } });
    player.step(-1);
    player.step(-1);
    expect(told.at(-1)).toMatchObject({ positionMs: 0, pass: { n: 1 } });
    expect(rebuilt).toHaveLength(4);
  });

  test('goes to a place of any pass, and plays on from there', () => {
    const { clock, sent, told, rebuilt, player } = open();
    player.start(PIECE, { tempo: 1, loop: true });
    player.seek(3, 500);
    expect(rebuilt.at(-1)).toBe('1: -2500,2: -1500,3: -500');
    expect(told.at(-1)).toMatchObject({ isPaused: false, positionMs: 500, pass: { n: 3, atMs: 500 } });
    clock.wait(304);
    expect(sent.slice(2)).toEqual(['300 128 64 64']);
    clock.wait(200);
    expect(told.at(-1)).toMatchObject({ pass: { n: 4 } });
    player.setLoop(false);
    player.seek(9, 5000);
    expect(told.some((one) => one?.pass.n === 9)).toBe(false);
  });

  test('loops a stretch, which begins near a chord, with the sound and the notes it has there', () => {
    const { clock, sent, told, player } = open();
    const held = {
      ...PIECE,
      timesMs: Float64Array.of(0, 0, 400, 600, 800),
      messages: Uint8Array.of(0xc0, 19, 0, 0x90, 60, 80, 0x90, 64, 80, 0x80, 60, 64, 0x80, 64, 64),
    };
    player.start(held, { tempo: 1, loop: false });
    sent.length = 0;
    player.setStretch({ fromMs: 420, toMs: 700 });
    expect(told.at(-1)).toMatchObject({
      loop: true,
      fromMs: 400,
      toMs: 700,
      positionMs: 400,
      pass: { n: 1 },
    });
    expect(sent).toEqual(['0 192 19', '0 144 60 80', '0 144 64 80']);
    clock.wait(310);
    expect(sent.slice(3)).toEqual([
      '200 128 60 64',
      '300 let go',
      '300 192 19',
      '300 144 60 80',
      '300 144 64 80',
    ]);
    player.setStretch(undefined);
    expect(told.at(-1)).toMatchObject({ fromMs: 0, toMs: 1000, positionMs: 0, pass: { n: 1 } });
  });

  test('takes the least stretch where one is too short', () => {
    const { told, player } = open();
    player.start(PIECE, { tempo: 1, loop: true });
    player.setStretch({ fromMs: 990, toMs: 100 });
    expect(told.at(-1)).toMatchObject({ fromMs: 750, toMs: 1000 });
  });

  test('starts over with pass 1, and stands at its first chord if it stood', () => {
    const { clock, sent, told, rebuilt, player } = open();
    player.start(PIECE, { tempo: 2, loop: true });
    clock.wait(1300);
    player.startOver();
    expect(told.at(-1)).toMatchObject({ isPaused: false, tempo: 2, pass: { n: 1, atMs: 2300 } });
    player.pause(true);
    sent.length = 0;
    player.startOver();
    expect(sent).toEqual(['1300 192 19', '1300 144 60 80']);
    expect(told.at(-1)).toMatchObject({ isPaused: true, positionMs: 0, pass: { n: 1 } });
    expect(rebuilt).toEqual(['', '', '']);
  });

  test('does nothing in silence', () => {
    const { sent, told, player } = open();
    player.pause(true);
    player.step(1);
    player.seek(1, 0);
    player.setStretch(undefined);
    player.startOver();
    player.tell();
    expect([sent, told]).toEqual([[], []]);
  });
});
