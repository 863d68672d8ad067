import { Worker } from 'node:worker_threads';
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { ByteRing, createRingMemory, LONGEST_PIECE } from '../../soak/byte-ring.js';
import { forAll } from '../../support/properties.js';
import { until } from '../../support/until.js';

const LOG2 = 6;
const ROOM = 2 ** LOG2;
/** In front of each piece. */
const FRAME = 4;

type Piece = readonly [kind: number, bytes: readonly number[]];

function readAll(ring: ByteRing): Piece[] {
  const pieces: Piece[] = [];
  expect(ring.read((kind, bytes) => pieces.push([kind, [...bytes]]))).toBe(pieces.length);
  return pieces;
}

describe('a ring of bytes', () => {
  test('gives what was put in, whole and in order, and refuses just what it has no room for', () => {
    const write = fc.tuple(fc.nat(255), fc.array(fc.nat(255), { maxLength: ROOM }));
    const steps = fc.array(fc.oneof({ weight: 3, arbitrary: write }, fc.constant('read' as const)), {
      maxLength: 60,
    });
    forAll([fc.integer(), steps], 2000, (start, all) => {
      const memory = createRingMemory(LOG2);
      // Counters anywhere, as after days, so that they also go round themselves.
      new Int32Array(memory, 0, 2).fill(start);
      const writer = new ByteRing(memory);
      const reader = new ByteRing(memory);
      let waiting: Piece[] = [];
      let taken = 0;
      for (const step of all) {
        if (step === 'read') {
          expect(readAll(reader)).toEqual(waiting);
          waiting = [];
          taken = 0;
          continue;
        }
        const needed = FRAME + step[1].length;
        const isRoom = taken + needed <= ROOM;
        expect(writer.write(step[0], Uint8Array.from(step[1]))).toBe(isRoom);
        if (!isRoom) continue;
        waiting.push(step);
        taken += needed;
      }
      expect(readAll(reader)).toEqual(waiting);
    });
  });

  test('is full to the last byte before it refuses, and takes again what was refused once there is room', () => {
    const ring = new ByteRing(createRingMemory(LOG2));
    const piece = new Uint8Array(ROOM / 4 - FRAME).fill(7);
    for (let i = 0; i < 4; i++) expect(ring.write(i, piece)).toBe(true);
    expect(ring.write(4, new Uint8Array(0))).toBe(false);
    expect(readAll(ring).map(([kind]) => kind)).toEqual([0, 1, 2, 3]);
    expect(ring.write(4, piece)).toBe(true);
    expect(readAll(ring)).toEqual([[4, [...piece]]]);
  });

  test('carries a length of three bytes, and refuses what has none', () => {
    const ring = new ByteRing(createRingMemory(25));
    const long = new Uint8Array(0x01_02_03).fill(9);
    expect(ring.write(1, long)).toBe(true);
    let length = 0;
    ring.read((_, bytes) => {
      length = bytes.length;
    });
    expect(length).toBe(long.length);
    expect(ring.write(1, new Uint8Array(LONGEST_PIECE + 1))).toBe(false);
  });

  test('passes many pieces between two threads without losing one', async () => {
    const memory = createRingMemory(8);
    const pieces = 20_000;
    // Reads by the format told in byte-ring.ts and by nothing of its code; answers with what was wrong.
    const reading = `
      const { parentPort, workerData: { memory, pieces } } = require('node:worker_threads');
      const counters = new Int32Array(memory, 0, 2);
      const data = new Uint8Array(memory, 8);
      const byte = (at) => data[at & (data.length - 1)];
      let at = 0;
      for (let n = 0; n < pieces; n++) {
        while (Atomics.load(counters, 0) === at) {}
        const length = (byte(at + 1) << 16) | (byte(at + 2) << 8) | byte(at + 3);
        if (byte(at) !== (n & 255) || length !== n % 11) throw new Error('piece ' + n);
        for (let i = 0; i < length; i++) if (byte(at + 4 + i) !== ((n + i) & 255)) throw new Error('byte of piece ' + n);
        at = (at + 4 + length) | 0;
        Atomics.store(counters, 1, at);
      }
      parentPort.postMessage('all');
    `;
    const worker = new Worker(reading, { eval: true, workerData: { memory, pieces } });
    let answer: unknown;
    worker.on('message', (message) => {
      answer = message;
    });
    worker.on('error', (error) => {
      answer = error;
    });
    const ring = new ByteRing(memory);
    let refused = 0;
    for (let n = 0; n < pieces; n++) {
      const bytes = Uint8Array.from({ length: n % 11 }, (_, i) => n + i);
      while (!ring.write(n & 255, bytes) && answer === undefined) {
        refused++;
        if (refused % 1000 === 0) await new Promise((resolve) => setImmediate(resolve));
      }
    }
    await until('the reader', () => answer !== undefined);
    expect(answer).toBe('all');
    expect(refused).toBeGreaterThan(0);
  });
});
