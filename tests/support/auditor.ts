import { expect } from 'vitest';
import {
  divide,
  equal,
  formatRatio,
  multiply,
  type PrimeVector,
  toDeviationCents,
  UNISON,
  withKeys,
} from '../../src/core/theory/index.js';
import {
  createTuner,
  type Guide,
  nextWakeMs,
  type SoundingNote,
  step,
  type Tuner,
  type TunerEvent,
  type TunerSettings,
  toReturned,
  toSoundingCents,
} from '../../src/core/tuner/index.js';
import { Telling } from './play.js';

/** What an auditor writes down of a key class, from the notes alone. */
interface Audit {
  readonly firstPoint: PrimeVector;
  readonly firstPitchCents: number;
  readonly firstOffsetCents: number;
  lastPoint: PrimeVector;
  /** The note that settled last, while it sounds. */
  note: SoundingNote;
}

/**
 * Keeps books of its own beside the tuner's: looks at the notes whenever one settles, one moment of the tuner at a time, and
 * compares.
 */
export class Auditor extends Telling {
  readonly tuner: Tuner;
  readonly audits = new Map<number, Audit>();
  readonly #seen = new Set<number>();
  #beforeEvent: readonly SoundingNote[] = [];

  constructor(chosen: TunerSettings, guide?: Guide) {
    super();
    this.tuner = createTuner(chosen, guide);
  }

  override end(atMs: number, note: Readonly<SoundingNote>): void {
    super.end(atMs, note);
    this.#look([note as SoundingNote]);
  }

  play(events: readonly TunerEvent[]): void {
    for (const event of events) {
      for (let dueMs = nextWakeMs(this.tuner); dueMs < event.atMs; dueMs = nextWakeMs(this.tuner)) {
        this.#take({ kind: 'time', atMs: dueMs });
      }
      this.#take({ kind: 'time', atMs: event.atMs });
      this.#take(event);
    }
  }

  #take(event: TunerEvent): void {
    this.#beforeEvent = this.tuner.notes.slice();
    step(this.tuner, event, this);
    this.#look(this.#beforeEvent.filter((note) => note.settled));
    this.#compare();
  }

  #look(notes: readonly SoundingNote[]): void {
    for (const note of notes) {
      if (!note.settled || this.#seen.has(note.id)) continue;
      this.#seen.add(note.id);
      const audit = this.audits.get(note.keyClass);
      if (audit === undefined) {
        this.audits.set(note.keyClass, {
          firstPoint: note.point,
          firstPitchCents: this.#pitchOf(note),
          firstOffsetCents: this.tuner.offset.cents + note.lagCents,
          lastPoint: note.point,
          note,
        });
      } else {
        audit.lastPoint = note.point;
        audit.note = note;
      }
    }
  }

  /** What a note sounds above its key, by what the tuner says it sounds. */
  #pitchOf(note: SoundingNote): number {
    return toSoundingCents(this.tuner, note) - 100 * note.key;
  }

  #compare(): void {
    const { ledger, offset } = this.tuner;
    for (const [keyClass, audit] of this.audits) {
      const drift = toReturned(ledger, keyClass);
      const moved = withKeys(divide(audit.lastPoint, audit.firstPoint), 0);
      if (!equal(drift, moved)) expect(formatRatio(drift)).toBe(formatRatio(moved));
      const { note } = audit;
      if (!this.tuner.notes.includes(note)) continue;
      const jumped = this.#pitchOf(note) - audit.firstPitchCents;
      const booked = toDeviationCents(drift) + offset.cents + note.lagCents - audit.firstOffsetCents;
      if (!(Math.abs(jumped - booked) < 1e-6)) expect(jumped).toBeCloseTo(booked, 6);
    }
    if (!(Math.abs(offset.cents - ledger.movedCents) < 1e-6))
      expect(offset.cents).toBeCloseTo(ledger.movedCents, 6);
  }

  /** Product of the returns entered for a key class. */
  returnsOf(keyClass: number): PrimeVector {
    let product = UNISON;
    for (const entry of this.entries) {
      if (entry.kind === 'return' && entry.key % 12 === keyClass) product = multiply(product, entry.ratio);
    }
    return product;
  }
}
