import type { LineListener } from '../core/line/index.js';
import type { PrimeVector } from '../core/theory/index.js';
import { type SoundingNote, type Tuner, toCommonDrift } from '../core/tuner/index.js';

/** The last chord of a piece. */
export interface Ending {
  /**
   * The exact drift: the comma product between the last and the first points of its key classes. Most of its notes
   * share it; in a tie it is the lowest note's.
   */
  readonly drift: PrimeVector;
  /** Mean distance of the chord from home, in cents, as if its glides were over. */
  readonly fromHomeCents: number;
}

/**
 * Watches a line for the chord that sounds last: everything audible at the last strike. One watcher serves several
 * pieces played one after the other, each with a separate tuner.
 */
export class EndingWatcher implements LineListener {
  readonly #chords: LastChord[] = [];

  start(_atMs: number, note: Readonly<SoundingNote>): void {
    if (note.id === 0) this.#chords.push({ sounding: new Set(), ended: [] });
    const chord = this.#chords[this.#chords.length - 1];
    chord.sounding.add(note);
    chord.ended.length = 0;
  }

  end(_atMs: number, note: Readonly<SoundingNote>): void {
    const chord = this.#chords[this.#chords.length - 1];
    if (chord.sounding.delete(note)) chord.ended.push(note);
  }

  /**
   * The endings of the pieces, in the order they were played; undefined for one without a note.
   * @param tuners the tuner of each piece, when it is over
   */
  toEndings(tuners: readonly Tuner[]): (Ending | undefined)[] {
    let next = 0;
    return tuners.map((tuner) =>
      tuner.nextId === 0 ? undefined : toEnding(tuner, inOrder(this.#chords[next++])),
    );
  }
}

/** The notes of a piece's last chord that sound, and those that have ended since it was struck. */
interface LastChord {
  readonly sounding: Set<Readonly<SoundingNote>>;
  readonly ended: Readonly<SoundingNote>[];
}

/** The notes of a chord in the order they were struck. */
function inOrder({ sounding, ended }: LastChord): Readonly<SoundingNote>[] {
  return [...sounding, ...ended].sort((a, b) => a.id - b.id);
}

function toEnding(tuner: Tuner, chord: readonly Readonly<SoundingNote>[]): Ending {
  const { home, referenceCents } = tuner.settings;
  let sum = 0;
  for (const note of chord) {
    sum += note.reportedCents - (note.lagCents - note.leanCents) - 100 * note.key - referenceCents;
    sum -= home.deviationCents[note.keyClass];
  }
  const keys = chord.map((note) => note.key).sort((a, b) => a - b);
  return { drift: toCommonDrift(tuner.ledger, keys), fromHomeCents: sum / chord.length };
}
