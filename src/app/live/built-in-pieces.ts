import { parseMidiFile } from '../../core/midi/index.js';
import { toPiece } from '../../core/score/index.js';
import { readInput } from '../../io/files/index.js';
import { toLeewayError } from '../problem-error.js';
import type { NamedPiece } from './piece-stretch.js';

/** The built-in pieces, in the order they are listed, and the default one. */
const NAMES = ['choir-warm-up', 'chapel-suspensions', 'trio-of-thirds', 'organ-sevenths'] as const;
export const FIRST_PIECE: string = NAMES[0];

/** Reads the built-in pieces. Throws a LeewayError if one can't be read. @param folder the folder of their files */
export async function readBuiltInPieces(folder: string): Promise<NamedPiece[]> {
  return Promise.all(
    NAMES.map(async (name) => {
      const path = `${folder}/${name}.mid`;
      const parsed = parseMidiFile(await readInput(path));
      if (!parsed.ok) throw toLeewayError(parsed.problem, path);
      return { ...toPiece(parsed.value.file), name };
    }),
  );
}
