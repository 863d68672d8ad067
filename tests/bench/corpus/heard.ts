import { type MidiFile, toTempoMap, tracksOf } from '../../../src/core/midi/index.js';
import type { Piece, WrittenNote } from './pieces.js';

/** Where a sounding note's pitch goes: from `tick` on it stands at `cents` (100 a key). */
export interface PitchPoint {
  readonly tick: number;
  readonly cents: number;
}

/** A written note as it sounds in a file. `pitch` has its first point at `onTick`. */
export interface HeardNote {
  readonly written: WrittenNote;
  readonly onTick: number;
  readonly offTick: number;
  readonly pitch: readonly PitchPoint[];
}

/** What a file sounds like, note by note, and how long a tick lasts at its start. */
export interface Performance {
  readonly notes: readonly HeardNote[];
  readonly ticksPerQuarter: number;
  readonly msPerTick: number;
  /** Bytes of channel messages on the wire, all three a message. */
  readonly wireBytes: number;
}

interface Sounding {
  on: number;
  key: number;
  channel: number;
  pitch: PitchPoint[];
}

/**
 * Listens to a file that plays each track over channels with pitch bend, as its bytes alone tell it: note-ons and -offs,
 * bends, and the bend range that RPN 0 gives each channel. Voice 0 of the piece is the track after the first.
 */
export function hear(piece: Piece, file: MidiFile): Performance {
  if (file.division.kind !== 'ppq') throw new Error(`${piece.id}: an SMPTE division has no quarter notes`);
  const { ticksPerQuarter } = file.division;
  const notes: HeardNote[] = [];
  let wireBytes = 0;
  tracksOf(file).forEach(({ events }, index) => {
    const range = new Array<number>(16).fill(2);
    const bend = new Array<number>(16).fill(8192);
    const parameter = new Array<number>(16).fill(0x3fff);
    const sounding: Sounding[] = [];
    const done: { on: number; off: number; pitch: PitchPoint[] }[] = [];
    const centsOf = (note: { key: number; channel: number }): number =>
      100 * note.key + ((bend[note.channel] - 8192) / 8192) * 100 * range[note.channel];
    for (const event of events) {
      if (event.kind !== 'channel') continue;
      wireBytes += 3;
      const { tick, status, data1, data2 } = event;
      const channel = status & 0x0f;
      const type = status & 0xf0;
      if (type === 0xb0) {
        if (data1 === 101) parameter[channel] = (parameter[channel] & 0x7f) | (data2 << 7);
        else if (data1 === 100) parameter[channel] = (parameter[channel] & 0x3f80) | data2;
        else if (data1 === 6 && parameter[channel] === 0) range[channel] = data2;
      } else if (type === 0xe0) {
        bend[channel] = data1 | (data2 << 7);
        for (const note of sounding) if (note.channel === channel) addPoint(note.pitch, tick, centsOf(note));
      } else if (type === 0x90 && data2 > 0) {
        const note: Sounding = { on: tick, key: data1, channel, pitch: [] };
        addPoint(note.pitch, tick, centsOf(note));
        sounding.push(note);
      } else if (type === 0x90 || type === 0x80) {
        const at = sounding.findIndex((note) => note.key === data1 && note.channel === channel);
        if (at < 0) continue;
        const [{ on, pitch }] = sounding.splice(at, 1);
        done.push({ on, off: tick, pitch });
      }
    }
    if (sounding.length > 0)
      throw new Error(`${piece.id}: ${sounding.length} notes of track ${index} never end`);
    const written = piece.notes.filter((note) => note.voice === index - 1);
    match(written, done, ticksPerQuarter, notes);
  });
  const lost = piece.notes.length - notes.length;
  if (lost > piece.notes.length / 4)
    throw new Error(`${piece.id}: ${lost} notes of ${piece.notes.length} not found`);
  return { notes, ticksPerQuarter, msPerTick: toTempoMap(file).toMs(1000) / 1000, wireBytes };
}

function addPoint(pitch: PitchPoint[], tick: number, cents: number): void {
  if (pitch.length > 0 && pitch[pitch.length - 1].tick === tick) pitch.pop();
  if (pitch.length === 0 || pitch[pitch.length - 1].cents !== cents) pitch.push({ tick, cents });
}

/**
 * Pairs a voice's written notes with what was heard in its track: by onset, and within an onset from the lowest up.
 *
 * A file can't hold two notes of one key in one voice, which a score can; of such twins the longer counts. An onset
 * whose numbers still differ is left out.
 */
function match(
  written: readonly WrittenNote[],
  heard: readonly { on: number; off: number; pitch: PitchPoint[] }[],
  ticksPerQuarter: number,
  notes: HeardNote[],
): void {
  const byOnset = new Map<number, { written: WrittenNote[]; heard: (typeof heard)[number][] }>();
  const at = (tick: number): { written: WrittenNote[]; heard: (typeof heard)[number][] } => {
    const group = byOnset.get(tick) ?? { written: [], heard: [] };
    byOnset.set(tick, group);
    return group;
  };
  for (const note of [...written].sort((a, b) => b.off - a.off)) {
    const group = at(Math.round(note.on * ticksPerQuarter));
    if (!group.written.some((twin) => twin.midi === note.midi)) group.written.push(note);
  }
  for (const note of heard) at(note.on).heard.push(note);
  for (const [onTick, group] of byOnset) {
    if (group.written.length !== group.heard.length) continue;
    group.written.sort((a, b) => a.midi - b.midi);
    group.heard.sort((a, b) => a.pitch[0].cents - b.pitch[0].cents);
    group.written.forEach((note, i) => {
      const { off, pitch } = group.heard[i];
      notes.push({ written: note, onTick, offTick: off, pitch });
    });
  }
}
