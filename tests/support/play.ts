import {
  divide,
  formatRatio,
  type HomeChoice,
  type PrimeVector,
  parseTonic,
  toFraction,
  toHome,
} from '../../src/core/theory/index.js';
import {
  createTuner,
  type LedgerEntry,
  type SoundingNote,
  step,
  type Tuner,
  type TunerEvent,
  type TunerOut,
  type TunerSettings,
  toMeanFromHome,
  toReturned,
  toSettings,
} from '../../src/core/tuner/index.js';

/** One thing a tuner told, as it was told: numbers are copied, so that later changes of the note don't show. */
export type EventLine =
  | {
      readonly what: 'start' | 'retune';
      readonly atMs: number;
      readonly id: number;
      readonly key: number;
      readonly cents: number;
    }
  | { readonly what: 'release' | 'end'; readonly atMs: number; readonly id: number; readonly key: number };

/** Keeps everything a tuner tells, in order. */
export class Telling implements TunerOut {
  readonly told: EventLine[] = [];
  readonly entries: LedgerEntry[] = [];

  start(atMs: number, note: Readonly<SoundingNote>, cents: number): void {
    this.told.push({ what: 'start', atMs, id: note.id, key: note.key, cents });
  }

  retune(atMs: number, note: Readonly<SoundingNote>, cents: number): void {
    this.told.push({ what: 'retune', atMs, id: note.id, key: note.key, cents });
  }

  release(atMs: number, note: Readonly<SoundingNote>): void {
    this.told.push({ what: 'release', atMs, id: note.id, key: note.key });
  }

  end(atMs: number, note: Readonly<SoundingNote>): void {
    this.told.push({ what: 'end', atMs, id: note.id, key: note.key });
  }

  enter(entry: LedgerEntry): void {
    this.entries.push(entry);
  }
}

/** A key by its name: `C4` is middle C, 60; `F#3`, `Bb5`. */
export function keyOf(name: string): number {
  const parts = /^([A-G][#b]?)(-?\d)$/.exec(name);
  const tonic = parts === null ? undefined : parseTonic(parts[1]);
  if (parts === null || tonic?.ok !== true) throw new RangeError(`${name} is no key`);
  return tonic.value.keyClass + 12 * (Number(parts[2]) + 1);
}

/** Keys by their names. @example keysOf('C4 E4 G4') // [60, 64, 67] */
export function keysOf(names: string): number[] {
  return names.split(' ').map(keyOf);
}

/** A home scale on a tonic. @example homeOn('just', 'A') */
export function homeOn(kind: Exclude<HomeChoice['kind'], 'list'>, tonic: string): TunerSettings['home'] {
  const parsed = parseTonic(tonic);
  if (!parsed.ok) throw new RangeError(parsed.problem.message);
  return toHome({ kind, tonic: parsed.value });
}

/** Ratios as whole numbers without a common factor, in the order given. @example '4:5:6' */
export function proportionOf(points: readonly PrimeVector[]): string {
  const least = [0, 1, 2, 3, 4, 5].map((i) => Math.min(...points.map((point) => point[i])));
  const common = least as unknown as PrimeVector;
  return points.map((point) => toFraction(divide(point, common)).numerator).join(':');
}

/** Long enough for every note to settle and every glide to end. */
const CHORD_MS = 500;

/** A player at a tuner: strikes, ties and lifts, and asks where the notes stand. Keys are numbers; one part. */
export class Playing {
  tuner: Tuner;
  readonly telling = new Telling();
  nowMs = 0;

  constructor(changes: Partial<TunerSettings> = {}) {
    this.tuner = createTuner(toSettings(changes));
  }

  /** Tells the tuner one event, now. */
  tell(event: TunerEvent extends infer E ? (E extends TunerEvent ? Omit<E, 'atMs'> : never) : never): this {
    step(this.tuner, { ...event, atMs: this.nowMs } as TunerEvent, this.telling);
    return this;
  }

  /** Lets time pass. */
  wait(ms: number): this {
    this.nowMs += ms;
    return this.tell({ kind: 'time' });
  }

  /** Strikes keys in the order given, so many milliseconds apart, and doesn't wait. */
  strike(keys: readonly number[], apartMs = 0, part = 0): this {
    keys.forEach((key, i) => {
      if (i > 0) this.nowMs += apartMs;
      this.tell({ kind: 'note-on', part, key });
    });
    return this;
  }

  /** Lifts keys. */
  lift(keys: readonly number[], part = 0): this {
    for (const key of keys) this.tell({ kind: 'note-off', part, key });
    return this;
  }

  /**
   * Plays the next chord and holds it. Keys of `tied` that are down stay down, by default all the two chords share; every other
   * key is let go first and struck anew.
   */
  chord(keys: readonly number[], tied: readonly number[] = keys, holdMs = CHORD_MS): this {
    const down = this.tuner.notes.filter((note) => note.keyDown).map((note) => note.key);
    const kept = down.filter((key) => keys.includes(key) && tied.includes(key));
    this.lift(down.filter((key) => !kept.includes(key)));
    return this.strike(keys.filter((key) => !kept.includes(key))).wait(holdMs);
  }

  /** The note of a key that can be heard. */
  note(key: number): Readonly<SoundingNote> {
    const note = this.tuner.notes.find((one) => one.key === key);
    if (note === undefined) throw new RangeError(`key ${key} is silent`);
    return note;
  }

  /** Where a key stands on the lattice, relative to the tonic, octaves included. */
  point(key: number): PrimeVector {
    return this.note(key).point;
  }

  /** The ratio of one sounding key to another, as text. @example ratio(67, 60) // '3/2' */
  ratio(key: number, from: number): string {
    return formatRatio(divide(this.point(key), this.point(from)));
  }

  /** Everything that sounds, from the lowest key up, as one proportion. @example '4:5:6' */
  proportion(): string {
    const notes = [...this.tuner.notes].sort((a, b) => a.key - b.key);
    return proportionOf(notes.map((note) => note.point));
  }

  /** What a key sounds, as last told. */
  cents(key: number): number {
    return this.note(key).reportedCents;
  }

  /** How far a key class has moved on the lattice, as text. @example returned(0) // '80/81' */
  returned(keyClass: number): string {
    return formatRatio(toReturned(this.tuner.ledger, keyClass));
  }

  /** How far the mean of what sounds stands from home. */
  meanFromHome(): number {
    return toMeanFromHome(this.tuner);
  }
}
