import { META, type MidiFile, type TrackEvent } from '../../../src/core/midi/index.js';
import { createRandom } from '../../support/random.js';
import type { Piece, WrittenNote } from '../corpus/pieces.js';

/**
 * How a person plays what is written:
 * - `clean`: as it stands, each note let go a little early;
 * - `overlap`: finger legato, each note let go late;
 * - `spread`: the notes of a chord struck at random times within a strike;
 * - `both`: overlap and spread;
 * - `roll`: chords of four notes or more rolled upward;
 * - `pedal`: spread, and the pedal changed late at each change of bass.
 */
export const MODES = ['clean', 'overlap', 'spread', 'both', 'roll', 'pedal'] as const;
export type Mode = (typeof MODES)[number];

/** A written note, and when its key goes down and comes up. */
export interface PlayedNote {
  readonly written: WrittenNote;
  readonly onMs: number;
  readonly offMs: number;
}

/** A piece as it is played: every written note in order, and the pedal. */
export interface Played {
  readonly notes: readonly PlayedNote[];
  readonly pedal: readonly { readonly atMs: number; readonly down: boolean }[];
}

/** At 80 quarters a minute. */
export const QUARTER_MS = 750;
export const TICKS_PER_QUARTER = 480;

const EARLY_MS = 30;
const LATE_MS = 60;
const LATE_BY_MS = 20;
const SPREAD_MS = 35;
const ROLL_MS = 120;
const ROLLED_FROM = 4;
/** A note is this long at least, but where its key is struck again before. */
const LEAST_MS = 40;
/** A key comes up this long before it is struck again; where it was just struck, shorter. */
const REPEAT_MS = 15;
const QUICK_REPEAT_MS = 2;
const QUICK_MS = 5;
const PEDAL_UP_MS = 5;
const PEDAL_DOWN_MS = 120;

/** The ticks of a time. */
export function toTicks(ms: number): number {
  return Math.round((ms / QUARTER_MS) * TICKS_PER_QUARTER);
}

/** A piece played by hand. The same piece and mode give the same times. */
export function playByHand({ id, notes }: Piece, mode: Mode): Played {
  const random = createRandom(toSeed(id + mode));
  const share = () => random(2 ** 24) / 2 ** 24;
  const chords = groupBy(notes, (note) => note.on);
  const onMs = new Map<WrittenNote, number>();
  for (const [on, chord] of chords) {
    chord.sort((a, b) => a.midi - b.midi);
    chord.forEach((note, i) => {
      onMs.set(note, on * QUARTER_MS + toLagMs(mode, i, chord.length, share));
    });
  }
  const nextMs = new Map<WrittenNote, number>();
  for (const strikes of groupBy(notes, (note) => note.midi).values()) {
    strikes.sort((a, b) => a.on - b.on);
    for (const [i, note] of strikes.slice(1).entries()) nextMs.set(strikes[i], onMs.get(note)!);
  }
  const isLate = mode === 'overlap' || mode === 'both';
  const played = notes.map((written): PlayedNote => {
    const on = onMs.get(written)!;
    const next = nextMs.get(written) ?? Infinity;
    const lateMs = isLate ? LATE_MS + LATE_BY_MS * (2 * share() - 1) : -EARLY_MS;
    const off = Math.max(Math.min(written.off * QUARTER_MS + lateMs, next - REPEAT_MS), on + LEAST_MS);
    return { written, onMs: on, offMs: Math.min(off, Math.max(on + QUICK_MS, next - QUICK_REPEAT_MS)) };
  });
  return { notes: played, pedal: mode === 'pedal' ? toPedal(notes, chords) : [] };
}

/** How long after its time a note of a chord is struck; the chord's notes counted from the lowest. */
function toLagMs(mode: Mode, i: number, size: number, share: () => number): number {
  if (mode === 'spread' || mode === 'both' || mode === 'pedal') return SPREAD_MS * share();
  return mode === 'roll' && size >= ROLLED_FROM ? (ROLL_MS * i) / (size - 1) : 0;
}

/** The pedal comes up as the bass changes, and goes down again when the new chord has sounded for a while. */
function toPedal(
  notes: readonly WrittenNote[],
  chords: ReadonlyMap<number, readonly WrittenNote[]>,
): Played['pedal'] {
  const pedal: { atMs: number; down: boolean }[] = [];
  let bass = -1;
  for (const at of [...chords.keys()].sort((a, b) => a - b)) {
    const sounding = notes.filter(({ on, off }) => on <= at && at < off);
    const lowest = Math.min(...sounding.map(({ midi }) => midi));
    if (lowest === bass) continue;
    bass = lowest;
    pedal.push({ atMs: at * QUARTER_MS + PEDAL_UP_MS, down: false });
    pedal.push({ atMs: at * QUARTER_MS + PEDAL_DOWN_MS, down: true });
  }
  return pedal;
}

/** What is played as a file of one track, as it would be recorded from one keyboard. */
export function toFile({ notes, pedal }: Played): MidiFile {
  const message = (ms: number, status: number, data1: number, data2: number): TrackEvent => ({
    kind: 'channel',
    tick: toTicks(ms),
    status,
    data1,
    data2,
  });
  const events = notes.flatMap(({ written: { midi }, onMs, offMs }) => [
    message(onMs, 0x90, midi, 80),
    message(offMs, 0x80, midi, 64),
  ]);
  for (const { atMs, down } of pedal) events.push(message(atMs, 0xb0, 64, down ? 127 : 0));
  events.sort((a, b) => a.tick - b.tick || toOrder(a) - toOrder(b));
  const tick = events.at(-1)?.tick ?? 0;
  const microseconds = 1000 * QUARTER_MS;
  const tempo = Uint8Array.of(microseconds >> 16, (microseconds >> 8) & 0xff, microseconds & 0xff);
  events.unshift({ kind: 'meta', tick: 0, type: META.tempo, data: tempo });
  events.push({ kind: 'meta', tick, type: META.endOfTrack, data: new Uint8Array(0) });
  return {
    format: 0,
    division: { kind: 'ppq', ticksPerQuarter: TICKS_PER_QUARTER },
    headerExtra: new Uint8Array(0),
    chunks: [{ kind: 'track', events }],
    wrapper: 'none',
  };
}

/** Of one tick: what ends, then the pedal, then what begins. */
function toOrder(event: TrackEvent): number {
  if (event.kind !== 'channel') return 0;
  return [0x80, 0xb0, 0x90].indexOf(event.status & 0xf0);
}

/** In the order of their first. */
function groupBy<K>(notes: readonly WrittenNote[], keyOf: (note: WrittenNote) => K): Map<K, WrittenNote[]> {
  const groups = new Map<K, WrittenNote[]>();
  for (const note of notes) {
    const group = groups.get(keyOf(note));
    if (group === undefined) groups.set(keyOf(note), [note]);
    else group.push(note);
  }
  return groups;
}

/** A seed of a text: the 32-bit FNV-1a hash of its characters. */
function toSeed(text: string): number {
  let hash = 0x811c9dc5;
  for (const character of text) hash = Math.imul(hash ^ character.charCodeAt(0), 0x01000193);
  return hash >>> 0;
}
