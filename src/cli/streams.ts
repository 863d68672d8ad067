import { DISK, type FileAccess, STANDARD_STREAM } from '../app/midi-source.js';
import type { World } from './world.js';

/** Files on disk, with `-` for standard input and output. */
export function toAccess({ stdin, stdout }: World): FileAccess {
  return {
    async read(path) {
      if (path !== STANDARD_STREAM) return DISK.read(path);
      const pieces: Uint8Array[] = [];
      for await (const piece of stdin) pieces.push(piece as Uint8Array);
      return join(pieces);
    },
    async write(path, bytes) {
      if (path !== STANDARD_STREAM) return DISK.write(path, bytes);
      stdout.write(bytes);
    },
  };
}

function join(pieces: readonly Uint8Array[]): Uint8Array {
  const whole = new Uint8Array(pieces.reduce((sum, piece) => sum + piece.length, 0));
  let at = 0;
  for (const piece of pieces) {
    whole.set(piece, at);
    at += piece.length;
  }
  return whole;
}
