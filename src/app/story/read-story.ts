import { basename, dirname, join } from 'node:path';
import { parseMidiFile } from '../../core/midi/index.js';
import { fail, type Outcome, succeed } from '../../core/outcome.js';
import { LIMITS, toLength } from '../../core/protocol/index.js';
import { toPiece } from '../../core/score/index.js';
import { findNearest } from '../../core/words/index.js';
import { readInput } from '../../io/files/index.js';
import { LeewayError } from '../../io/leeway-error.js';
import type { NamedPiece } from '../live/piece-stretch.js';
import { listStoryPieces, type ParsedStory, parseStory } from './parse-story.js';

/** A file of a piece has such a name; anything else is a built-in piece. */
const MIDI_NAME = /\.midi?$/i;

/**
 * Reads a story and the MIDI files beside it. Throws a LeewayError if the story can't be read; mistakes in it are values.
 * @param builtIn pieces that a step may name
 */
export async function readStory(path: string, builtIn: readonly NamedPiece[]): Promise<ParsedStory> {
  const text = new TextDecoder().decode(await readInput(path));
  const names = new Set(listStoryPieces(text).filter((name) => MIDI_NAME.test(name)));
  const files = new Map<string, Outcome<NamedPiece>>();
  for (const name of names) files.set(name, await readPiece(join(dirname(path), name), name));
  return parseStory(text, path, (name) => files.get(name) ?? findBuiltIn(name, builtIn));
}

/** A piece by its name, or that there is none. */
export function findBuiltIn(name: string, pieces: readonly NamedPiece[]): Outcome<NamedPiece> {
  const piece = pieces.find((one) => one.name === name);
  if (piece !== undefined) return succeed(piece);
  const names = pieces.map((one) => one.name);
  const nearest = findNearest(name, names);
  const advice = nearest === undefined ? `There are ${names.join(', ')}.` : `Did you mean ${nearest}?`;
  return fail({ code: 'PIECE_MISSING', message: `there is no piece called ${name}`, advice });
}

async function readPiece(path: string, name: string): Promise<Outcome<NamedPiece>> {
  try {
    const parsed = parseMidiFile(await readInput(path));
    if (!parsed.ok) return parsed;
    const piece = toPiece(parsed.value.file);
    const own = toLength(basename(name), LIMITS.name);
    return succeed({ ...piece, name: own, title: toLength(piece.title || own, LIMITS.text) });
  } catch (error) {
    if (!(error instanceof LeewayError)) throw error;
    const { code, message, advice } = error;
    return fail({ code, message: message.replace(/\.$/, ''), advice });
  }
}
