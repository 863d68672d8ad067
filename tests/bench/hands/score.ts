import { type MidiFile, tracksOf } from '../../../src/core/midi/index.js';
import { centsAt, hearTrack, type TrackNote } from '../corpus/hear-track.js';
import { foldCents, JUST_BY_FIFTHS } from '../corpus/just.js';
import type { WrittenNote } from '../corpus/pieces.js';
import { type Played, TICKS_PER_QUARTER, toTicks } from './played.js';

/** Sums over pieces; the figures come from them at the end. */
export interface HandsTally {
  /** Time two notes are written to sound as a consonance, and of that: pure, and far off. In quarters. */
  pairQuarters: number;
  pureQuarters: number;
  farQuarters: number;
  /** Notes that came back within four quarters, and those that landed elsewhere. */
  comebacks: number;
  shifted: number;
  /** Notes heard, and those whose pitch moved soon after they were struck. */
  notes: number;
  moved: number;
  /** Notes that couldn't be told apart in what was heard. */
  lost: number;
}

/** The same in percent. */
export interface HandsFigures {
  readonly pure: number;
  readonly far: number;
  readonly shifted: number;
  readonly moved: number;
}

const PURE_WITHIN_CENTS = 1.5;
const FAR_FROM_CENTS = 10;
const SHIFTED_FROM_CENTS = 1;
const COMEBACK_QUARTERS = 4;
const MOVED_FROM_CENTS = 5;
/** How soon after the strike: 150 ms. */
const SOON_TICKS = toTicks(150);

/** An empty tally. */
export function createHandsTally(): HandsTally {
  return {
    pairQuarters: 0,
    pureQuarters: 0,
    farQuarters: 0,
    comebacks: 0,
    shifted: 0,
    notes: 0,
    moved: 0,
    lost: 0,
  };
}

/** The figures of a tally. */
export function toHandsFigures(tally: HandsTally): HandsFigures {
  return {
    pure: (100 * tally.pureQuarters) / tally.pairQuarters,
    far: (100 * tally.farQuarters) / tally.pairQuarters,
    shifted: (100 * tally.shifted) / tally.comebacks,
    moved: (100 * tally.moved) / tally.notes,
  };
}

/**
 * Adds a retuned file of what was played. The writing says what is a consonance and how long: each pair is judged while
 * both are written to sound, by the pitches in the middle of that time, or a quarter after it began.
 */
export function addHands(tally: HandsTally, played: Played, file: MidiFile): void {
  const heard = match(tally, played, tracksOf(file)[0].events);
  for (const note of heard.values()) {
    tally.notes += 1;
    const cents = Math.abs(centsAt(note, note.onTick + SOON_TICKS) - note.pitch[0].cents);
    if (cents > MOVED_FROM_CENTS) tally.moved += 1;
  }
  const order = [...heard.keys()].sort((a, b) => a.on - b.on);
  addPairs(tally, order, heard);
  addComebacks(tally, order, heard);
}

/** Which written note each heard one is: by tick, and within it from the lowest up. */
function match(
  tally: HandsTally,
  played: Played,
  events: Parameters<typeof hearTrack>[0],
): Map<WrittenNote, TrackNote> {
  const byTick = new Map<number, TrackNote[]>();
  for (const note of hearTrack(events).notes)
    byTick.set(note.onTick, [...(byTick.get(note.onTick) ?? []), note]);
  const strikes = new Map<number, WrittenNote[]>();
  for (const { onMs, written } of played.notes)
    strikes.set(toTicks(onMs), [...(strikes.get(toTicks(onMs)) ?? []), written]);
  const heard = new Map<WrittenNote, TrackNote>();
  for (const [tick, written] of strikes) {
    const notes = (byTick.get(tick) ?? []).sort((a, b) => a.pitch[0].cents - b.pitch[0].cents);
    if (notes.length !== written.length) {
      tally.lost += written.length;
      continue;
    }
    written.sort((a, b) => a.midi - b.midi);
    for (const [i, one] of written.entries()) heard.set(one, notes[i]);
  }
  return heard;
}

function addPairs(
  tally: HandsTally,
  order: readonly WrittenNote[],
  heard: ReadonlyMap<WrittenNote, TrackNote>,
): void {
  let sounding: WrittenNote[] = [];
  for (const note of order) {
    sounding = sounding.filter(({ off }) => off > note.on + 1e-9);
    for (const other of sounding) {
      const fifths = note.fifths - other.fifths;
      const just = JUST_BY_FIFTHS.get(Math.abs(fifths));
      if (just === undefined) continue;
      const from = Math.max(note.on, other.on);
      const to = Math.min(note.off, other.off);
      const middle = Math.round(((from + to) / 2) * TICKS_PER_QUARTER);
      const tick = Math.min(middle, Math.round(from * TICKS_PER_QUARTER) + TICKS_PER_QUARTER);
      const up = centsAt(heard.get(note)!, tick) - centsAt(heard.get(other)!, tick);
      const off = Math.abs(foldCents((fifths >= 0 ? up : -up) - just));
      tally.pairQuarters += to - from;
      if (off < PURE_WITHIN_CENTS) tally.pureQuarters += to - from;
      if (off > FAR_FROM_CENTS) tally.farQuarters += to - from;
    }
    sounding.push(note);
  }
}

function addComebacks(
  tally: HandsTally,
  order: readonly WrittenNote[],
  heard: ReadonlyMap<WrittenNote, TrackNote>,
): void {
  const last = new Map<number, { off: number; cents: number }>();
  for (const note of order) {
    const { on, off, midi } = note;
    const tick = Math.round((on + Math.min((off - on) / 2, 0.5)) * TICKS_PER_QUARTER);
    const cents = centsAt(heard.get(note)!, tick) - 100 * midi;
    const before = last.get(midi % 12);
    if (before !== undefined && on - before.off <= COMEBACK_QUARTERS) {
      tally.comebacks += 1;
      if (Math.abs(cents - before.cents) > SHIFTED_FROM_CENTS) tally.shifted += 1;
    }
    last.set(midi % 12, { off, cents });
  }
}
