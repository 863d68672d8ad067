import { basename, extname } from 'node:path';
import { type MidiFile, parseMidiFile } from '../core/midi/index.js';
import type { Problem } from '../core/outcome.js';
import { readInput, writeWhole } from '../io/files/index.js';
import { toLeewayError } from './problem-error.js';

/** The path of standard input or output. */
export const STANDARD_STREAM = '-';

/** The name of an input path in a message. @example nameInput('-')  // 'standard input' */
export function nameInput(path: string): string {
  return path === STANDARD_STREAM ? 'standard input' : path;
}

/** @example nameOutput('-')  // 'standard output' */
export function nameOutput(path: string): string {
  return path === STANDARD_STREAM ? 'standard output' : path;
}

/** The title of a piece, from its file name. @example toTitle('songs/choir.mid')  // 'choir' */
export function toTitle(path: string): string {
  return path === STANDARD_STREAM ? 'standard-input' : basename(path, extname(path));
}

/** Reads and writes files. Both throw a LeewayError; `write` writes all of it or nothing. */
export interface FileAccess {
  read(path: string): Promise<Uint8Array>;
  write(path: string, bytes: Uint8Array): Promise<void>;
}

/** Files on disk. */
export const DISK: FileAccess = {
  read: (path) => readInput(path),
  write: (path, bytes) => writeWhole(path, bytes),
};

/** A readable MIDI file, and its slight errors. */
export interface OpenedMidi {
  readonly file: MidiFile;
  readonly warnings: readonly Problem[];
}

/**
 * Reads a MIDI file. Throws a LeewayError: those of `access.read`, or an `SMF_…` code with the path and the byte offset
 * in its message.
 *
 * @example await openMidi('cut.mid')  // throws LeewayError: only 2 of 6 bytes of the header are left
 */
export async function openMidi(path: string, access: FileAccess = DISK): Promise<OpenedMidi> {
  const outcome = parseMidiFile(await access.read(path));
  if (!outcome.ok) throw toLeewayError(outcome.problem, nameInput(path));
  return outcome.value;
}
