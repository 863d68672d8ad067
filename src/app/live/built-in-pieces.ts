import { parseMidiFile } from '../../core/midi/index.js';
import { toPiece } from '../../core/score/index.js';
import { readInput } from '../../io/files/index.js';
import { toLeewayError } from '../problem-error.js';
import type { NamedPiece } from './piece-player.js';

/** The pieces that come with Leeway, in the order they are offered, and the one it starts with. */
const NAMES = ['choir-warm-up', 'chapel-suspensions', 'trio-of-thirds', 'organ-sevenths'] as const;
export const FIRST_PIECE: string = NAMES[0];

/**
 * Reads the built-in pieces. Throws a LeewayError if one can't be read.
 * @param folder where their files lie
 */
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
