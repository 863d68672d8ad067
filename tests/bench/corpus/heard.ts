import { type MidiFile, toTempoMap, tracksOf } from '../../../src/core/midi/index.js';
import { hearTrack, type PitchPoint, type TrackNote } from './hear-track.js';
import { pairStrikes } from './pair-strikes.js';
import type { Piece, WrittenNote } from './pieces.js';

/** A written note as it sounds in a file. `pitch` has its first point at `onTick`. */
export interface HeardNote {
  readonly written: WrittenNote;
  readonly onTick: number;
  readonly offTick: number;
  readonly pitch: readonly PitchPoint[];
}

/** What a file sounds like, note by note, and how long a tick lasts at its start. */
export interface Performance {
  /** Voice by voice, where both agree on the number of notes. */
  readonly notes: readonly HeardNote[];
  /** As strikes of all voices together. */
  readonly strikes: readonly HeardNote[];
  readonly ticksPerQuarter: number;
  readonly msPerTick: number;
  /** Bytes of channel messages on the wire, all three a message. */
  readonly wireBytes: number;
}

/** Listens to a file that plays each track by itself. Voice 0 of the piece is the track after the first. */
export function hear(piece: Piece, file: MidiFile): Performance {
  if (file.division.kind !== 'ppq') throw new Error(`${piece.id}: an SMPTE division has no quarter notes`);
  const { ticksPerQuarter } = file.division;
  const notes: HeardNote[] = [];
  const heard: TrackNote[] = [];
  let wireBytes = 0;
  tracksOf(file).forEach(({ events }, index) => {
    const track = hearTrack(events);
    if (track.stuck > 0) throw new Error(`${piece.id}: ${track.stuck} notes of track ${index} never end`);
    wireBytes += track.wireBytes;
    heard.push(...track.notes);
    const written = piece.notes.filter((note) => note.voice === index - 1);
    match(written, track.notes, ticksPerQuarter, notes);
  });
  const lost = piece.notes.length - notes.length;
  if (lost > piece.notes.length / 4)
    throw new Error(`${piece.id}: ${lost} notes of ${piece.notes.length} not found`);
  const strikes = pairStrikes(piece.notes, heard, ticksPerQuarter);
  return { notes, strikes, ticksPerQuarter, msPerTick: toTempoMap(file).toMs(1000) / 1000, wireBytes };
}

/**
 * Pairs a voice's written notes with what was heard in its track: by onset, and within an onset from the lowest up.
 *
 * A file can't hold two notes of one key in one voice, which a score can; of such twins the longer counts. An onset
 * whose numbers still differ is left out.
 */
function match(
  written: readonly WrittenNote[],
  heard: readonly TrackNote[],
  ticksPerQuarter: number,
  notes: HeardNote[],
): void {
  const byOnset = new Map<number, { written: WrittenNote[]; heard: TrackNote[] }>();
  const at = (tick: number): { written: WrittenNote[]; heard: TrackNote[] } => {
    const group = byOnset.get(tick) ?? { written: [], heard: [] };
    byOnset.set(tick, group);
    return group;
  };
  for (const note of [...written].sort((a, b) => b.off - a.off)) {
    const group = at(Math.round(note.on * ticksPerQuarter));
    if (!group.written.some((twin) => twin.midi === note.midi)) group.written.push(note);
  }
  for (const note of heard) at(note.onTick).heard.push(note);
  for (const [onTick, group] of byOnset) {
    if (group.written.length !== group.heard.length) continue;
    group.written.sort((a, b) => a.midi - b.midi);
    group.heard.sort((a, b) => a.pitch[0].cents - b.pitch[0].cents);
    group.written.forEach((note, i) => {
      const { offTick, pitch } = group.heard[i];
      notes.push({ written: note, onTick, offTick, pitch });
    });
  }
}
