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
 * bends, and the bend range that RPN 0 gives each channel. Voice n of the piece is the n-th track after the first.
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
    if (sounding.length > 0) throw new Error(`${piece.id}: ${sounding.length} notes of track ${index} never end`);
    match(piece, index - 1, done, ticksPerQuarter, notes);
  });
  if (notes.length !== piece.notes.length) {
    throw new Error(`${piece.id}: ${piece.notes.length} notes written, ${notes.length} heard`);
  }
  return { notes, ticksPerQuarter, msPerTick: toTempoMap(file).toMs(1000) / 1000, wireBytes };
}

function addPoint(pitch: PitchPoint[], tick: number, cents: number): void {
  if (pitch.length > 0 && pitch[pitch.length - 1].tick === tick) pitch.pop();
  if (pitch.length === 0 || pitch[pitch.length - 1].cents !== cents) pitch.push({ tick, cents });
}

/** Pairs a voice's written notes with what was heard in its track: by onset, and within an onset from the lowest up. */
function match(
  piece: Piece,
  voice: number,
  heard: { on: number; off: number; pitch: PitchPoint[] }[],
  ticksPerQuarter: number,
  notes: HeardNote[],
): void {
  const written = piece.notes.filter((note) => note.voice === voice);
  if (written.length !== heard.length) {
    throw new Error(`${piece.id}: voice ${voice} has ${written.length} notes, its track ${heard.length}`);
  }
  const toTick = (note: WrittenNote): number => Math.round(note.on * ticksPerQuarter);
  written.sort((a, b) => toTick(a) - toTick(b) || a.midi - b.midi || a.off - b.off);
  heard.sort((a, b) => a.on - b.on || a.pitch[0].cents - b.pitch[0].cents || a.off - b.off);
  written.forEach((note, i) => {
    const { on, off, pitch } = heard[i];
    if (Math.abs(on - toTick(note)) > 1) throw new Error(`${piece.id}: a note at tick ${toTick(note)} sounds at ${on}`);
    notes.push({ written: note, onTick: on, offTick: off, pitch });
  });
}
