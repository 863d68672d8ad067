import type { NamedPiece } from '../../src/app/live/piece-stretch.js';
import { numbers } from './numbers.js';

/** A piece from rows of a time in milliseconds and a message. @example pieceOf('0 0x90 60 80, 500 0x80 60 64') */
export function pieceOf(text: string, changes: Partial<NamedPiece> = {}): NamedPiece {
  const rows = text === '' ? [] : numbers(text);
  return {
    name: 'piece',
    title: 'A piece',
    lengthMs: rows.at(-1)?.[0] ?? 0,
    timesMs: Float64Array.from(rows, ([ms]) => ms),
    messages: Uint8Array.from(rows.flatMap(([, ...bytes]) => [...bytes, 0, 0, 0].slice(0, 3))),
    barsMs: [],
    ...changes,
  };
}
