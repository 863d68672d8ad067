import type { LineListener } from '../../line/index.js';
import type { LedgerEntry, SoundingNote } from '../../tuner/index.js';

/** From `atMs` on a note is at `cents`, on the scale of MIDI keys: 6900 is A at 440 Hz. */
export interface PitchPoint {
  readonly atMs: number;
  readonly cents: number;
}

/** A note as it was heard: from its strike until it could be heard no more, with its pitch over time. */
export interface HeardNote {
  readonly key: number;
  readonly part: number;
  /** It is of a part that can't be tuned, and sounds at its own pitch in any tuning. */
  readonly isFixed: boolean;
  readonly onMs: number;
  readonly offMs: number;
  /** In order of time; the first is at `onMs`. */
  readonly pitch: readonly PitchPoint[];
}

/** Records a piece as it is played: every note as it is heard, glides included, and every entry of the ledger. */
export class PieceRecorder implements LineListener {
  readonly entries: LedgerEntry[] = [];
  readonly #sounding = new Map<number, { onMs: number; pitch: PitchPoint[] }>();
  readonly #notes: HeardNote[] = [];

  start(atMs: number, note: Readonly<SoundingNote>, cents: number): void {
    this.#sounding.set(note.id, { onMs: atMs, pitch: [{ atMs, cents }] });
  }

  retune(atMs: number, note: Readonly<SoundingNote>, cents: number): void {
    const pitch = this.#sounding.get(note.id)?.pitch;
    if (pitch === undefined) return;
    // A revision at the very moment of the strike replaces the pitch: the first was never heard.
    if (pitch.at(-1)?.atMs === atMs) pitch.pop();
    pitch.push({ atMs, cents });
  }

  end(atMs: number, note: Readonly<SoundingNote>): void {
    const sounding = this.#sounding.get(note.id);
    if (sounding === undefined) return;
    this.#sounding.delete(note.id);
    const { key, part } = note;
    this.#notes.push({ key, part, isFixed: note.fixedCents !== undefined, offMs: atMs, ...sounding });
  }

  enter(entry: LedgerEntry): void {
    this.entries.push(entry);
  }

  /** All notes that have ended, in the order they were struck. */
  toNotes(): HeardNote[] {
    return this.#notes.toSorted((a, b) => a.onMs - b.onMs || a.key - b.key);
  }
}

/**
 * The same notes in 12 equal; what can't be tuned keeps its pitch. Pitches are in cents: 6900 is 440 Hz.
 * @param referenceCents pitch of A, as cents away from 440 Hz
 */
export function toEqual(notes: readonly HeardNote[], referenceCents: number): HeardNote[] {
  return notes.map((note) =>
    note.isFixed ? note : { ...note, pitch: [{ atMs: note.onMs, cents: 100 * note.key + referenceCents }] },
  );
}
