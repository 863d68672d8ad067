import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';

/** A note as it is written in the score. Times in quarter notes. */
export interface WrittenNote {
  readonly on: number;
  readonly off: number;
  readonly midi: number;
  readonly voice: number;
  /** Place of the spelling on the line of fifths: F -1, C 0, F# 6. */
  readonly fifths: number;
  /** Staff position: letter and octave, 7 to the octave. */
  readonly step: number;
}

/** A piece of the corpus: its notes as written, and its file. */
export interface Piece {
  readonly id: string;
  readonly notes: readonly WrittenNote[];
  readonly bytes: Uint8Array;
}

const LETTER_STEP: Readonly<Record<string, number>> = { C: 0, D: 1, E: 2, F: 3, G: 4, A: 5, B: 6 };
const LETTER_FIFTHS: Readonly<Record<string, number>> = { F: -1, C: 0, G: 1, D: 2, A: 3, E: 4, B: 5 };

/**
 * The corpora of a folder: each of its folders that holds a `pieces.jsonl` (an object a line: `id`, and `notes` with
 * `on`, `off`, `midi`, `spelling`, `voice`) and the same pieces as Standard MIDI Files under `midi/<id>.mid`, one track a
 * voice.
 */
export function readCorpora(folder: string): { name: string; pieces: Piece[] }[] {
  const names = readdirSync(folder, { withFileTypes: true })
    .filter((entry) => entry.isDirectory())
    .map((entry) => entry.name)
    .filter((name) => readdirSync(join(folder, name)).includes('pieces.jsonl'))
    .sort();
  return names.map((name) => ({ name, pieces: readPieces(join(folder, name)) }));
}

function readPieces(folder: string): Piece[] {
  const lines = readFileSync(join(folder, 'pieces.jsonl'), 'utf8')
    .split('\n')
    .filter((line) => line.trim() !== '');
  return lines.map((line) => {
    const { id, notes } = JSON.parse(line) as { id: string; notes: (WrittenNote & { spelling: string })[] };
    return {
      id,
      notes: notes.map(toWritten),
      bytes: new Uint8Array(readFileSync(join(folder, 'midi', `${id}.mid`))),
    };
  });
}

function toWritten(note: {
  on: number;
  off: number;
  midi: number;
  voice: number;
  spelling: string;
}): WrittenNote {
  const parts = /^([A-G])([#b]*)(-?\d+)$/.exec(note.spelling);
  if (parts === null) throw new Error(`not a spelling: ${note.spelling}`);
  const [, letter, accidentals, octave] = parts;
  let alteration = 0;
  for (const sign of accidentals) alteration += sign === '#' ? 1 : -1;
  const { on, off, midi, voice } = note;
  const fifths = LETTER_FIFTHS[letter] + 7 * alteration;
  return { on, off, midi, voice, fifths, step: LETTER_STEP[letter] + 7 * Number(octave) };
}
