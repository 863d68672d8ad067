import { mkdirSync, readdirSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { formatMidiFile, type MidiFile, parseMidiFile, tracksOf } from '../../../src/core/midi/index.js';
import { type BuiltNote, buildMidi } from '../../support/build-midi.js';

/** Chords of four notes in each file, a quarter note each. */
const CHORDS = 16;
/** Roots of a row of chords that never ends, in keys: I vi ii V I IV V I. */
const ROOTS = [0, 9, 2, 7, 0, 5, 7, 0];
const MINOR = new Set([2, 9]);
/** Files to a folder, so that no folder is slow to list. */
const PER_FOLDER = 500;

/** Fills a folder, and folders in it, with so many small files; no two of the first twelve thousand are alike. */
export function writeLibrary(folder: string, files: number): void {
  for (let i = 0; i < files; i++) {
    const its = join(folder, String(Math.floor(i / PER_FOLDER)));
    if (i % PER_FOLDER === 0) mkdirSync(its, { recursive: true });
    writeFileSync(join(its, `${i}.mid`), formatMidiFile(toSmallPiece(i)));
  }
}

/** Chords in the key, at the place in the row, and with as many notes tied over as the number of the file says. */
function toSmallPiece(number: number): MidiFile {
  const [tonic, from, ties] = [number % 12, Math.floor(number / 12) % 8, Math.floor(number / 96) % 128];
  const notes: BuiltNote[] = [];
  let before: { key: number; at: number }[] = [];
  for (let chord = 0; chord < CHORDS; chord++) {
    const root = ROOTS[(from + chord) % ROOTS.length];
    const steps = [0, MINOR.has(root) ? 3 : 4, 7, 12];
    const isTied = ((ties >> (chord % 7)) & 1) === 1;
    before = steps.map((step) => {
      const key = 48 + ((tonic + root) % 12) + step;
      const held = isTied ? before.find((note) => note.key === key) : undefined;
      if (held === undefined) {
        notes.push([chord, chord + 1, key]);
        return { key, at: notes.length - 1 };
      }
      const [start, end] = notes[held.at];
      notes[held.at] = [start, end + 1, key];
      return held;
    });
  }
  return buildMidi(notes);
}

/** Whether a folder has a file for each one of another, each a MIDI file with as many notes, and nothing else. */
export function findFaults(input: string, output: string): string[] {
  const faults: string[] = [];
  const expected = new Set(listFiles(input));
  for (const name of listFiles(output)) if (!expected.has(name)) faults.push(`${name} is no file of ours`);
  for (const name of expected) {
    try {
      const [wanted, found] = [countNotes(join(input, name)), countNotes(join(output, name))];
      if (wanted !== found) faults.push(`${name} has ${found} notes for ${wanted}`);
    } catch (error) {
      faults.push(String(error));
    }
  }
  return faults;
}

/** The files of a folder and of those in it, by their paths from there. */
export function listFiles(folder: string): string[] {
  return readdirSync(folder, { withFileTypes: true, recursive: true })
    .filter((entry) => entry.isFile())
    .map((entry) => join(entry.parentPath, entry.name).slice(folder.length + 1));
}

function countNotes(path: string): number {
  const read = parseMidiFile(new Uint8Array(readFileSync(path)));
  if (!read.ok) throw new Error(`${path}: ${read.problem.message}`);
  const events = tracksOf(read.value.file).flatMap((track) => [...track.events]);
  return events.filter((event) => event.kind === 'channel' && event.status >> 4 === 9 && event.data2 > 0)
    .length;
}
