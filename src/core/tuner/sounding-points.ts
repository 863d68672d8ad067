import { type PrimeVector, sameClass, toDeviationCents } from '../theory/index.js';
import type { SoundingNote } from './note.js';
import type { TunerSettings } from './settings.js';
import { HELD, LOOSE } from './surroundings.js';

/** A point of settled notes, and what has to be known of them. */
export interface SoundingPoint {
  readonly keyClass: number;
  readonly point: PrimeVector;
  /** The same in primes 3 and 5, for the first of them. */
  readonly frame: PrimeVector;
  readonly deviationCents: number;
  /** How many notes are on it, how many of them by their keys, and how many of these are expected to end at once. */
  count: number;
  held: number;
  leaving: number;
  /** How many more may be about to end. */
  unsure: number;
  /** Id of the note struck last, and when a key last came up. */
  id: number;
  releasedMs: number;
  /** Keys of its notes by their ids, in the order they settled: those down, and those only a pedal holds. */
  readonly downKeys: Map<number, number>;
  readonly upKeys: Map<number, number>;
}

/**
 * Settled sounding notes by their points. New notes are measured against these: they are few, however many notes sound.
 *
 * @example
 * const points = new SoundingPoints();
 * points.add(pumpedTuner.notes[0]);
 * points.size                            // 1
 * points.lift(pumpedTuner.notes[0], 1200);  // its key came up, a pedal holds it
 * points.held                            // 0
 */
export class SoundingPoints {
  /** By key class, the point struck last first. */
  readonly #points: SoundingPoint[][] = Array.from({ length: 12 }, () => []);
  readonly #of = new Map<number, SoundingPoint>();

  /** How many notes are held by their keys. */
  held = 0;

  add(note: Readonly<SoundingNote>): void {
    const points = this.#points[note.keyClass];
    let its = points.find(({ point }) => sameClass(point, note.point));
    if (its === undefined) {
      const { keyClass, point, frame } = note;
      const deviationCents = toDeviationCents(point);
      its = {
        keyClass,
        point,
        frame,
        deviationCents,
        count: 0,
        held: 0,
        leaving: 0,
        unsure: 0,
        id: note.id,
        releasedMs: 0,
        downKeys: new Map(),
        upKeys: new Map(),
      };
      points.unshift(its);
    }
    its.count += 1;
    its.id = note.id;
    (note.keyDown ? its.downKeys : its.upKeys).set(note.id, note.key);
    if (note.keyDown) {
      its.held += 1;
      this.held += 1;
    } else its.releasedMs = Math.max(its.releasedMs, note.releasedMs);
    this.#of.set(note.id, its);
  }

  /**
   * The key of a settled note comes up.
   * @param wasLeaving whether it was expected to
   * @returns whether its point counts otherwise now
   */
  lift(note: Readonly<SoundingNote>, atMs: number, wasLeaving: boolean): boolean {
    const its = this.#of.get(note.id);
    if (its === undefined) return false;
    const before = toBinding(its);
    its.held -= 1;
    if (wasLeaving && its.leaving > 0) its.leaving -= 1;
    else if (its.unsure > 0) its.unsure -= 1;
    this.held -= 1;
    its.downKeys.delete(note.id);
    its.upKeys.set(note.id, note.key);
    its.releasedMs = atMs;
    return toBinding(its) !== before;
  }

  /** Removes a settled note whose key is up. @returns whether its point is gone */
  remove(note: Readonly<SoundingNote>): boolean {
    const its = this.#of.get(note.id);
    if (its === undefined) return false;
    this.#of.delete(note.id);
    its.count -= 1;
    its.downKeys.delete(note.id);
    its.upKeys.delete(note.id);
    if (note.keyDown) {
      its.held -= 1;
      this.held -= 1;
    }
    if (its.count > 0) return false;
    const points = this.#points[its.keyClass];
    points.splice(points.indexOf(its), 1);
    return true;
  }

  of(note: Readonly<SoundingNote>): SoundingPoint | undefined {
    return this.#of.get(note.id);
  }

  *[Symbol.iterator](): IterableIterator<SoundingPoint> {
    for (const points of this.#points) yield* points;
  }

  /** Visits every point, as {@link iterator} does, without allocating. */
  forEach(visit: (point: SoundingPoint) => void): void {
    for (const points of this.#points) for (const point of points) visit(point);
  }

  get size(): number {
    return this.#of.size;
  }

  /** Sum of the notes' distances from home without the common offset, in cents. */
  toCentsSum({ home }: TunerSettings): number {
    let sum = 0;
    for (const points of this.#points)
      for (const { keyClass, deviationCents, count } of points)
        sum += count * (deviationCents - home.deviationCents[keyClass]);
    return sum;
  }
}

/** The points of notes, all settled. @example toSoundingPoints([pumpedTuner.notes[0]]).size  // 1 */
export function toSoundingPoints(notes: readonly Readonly<SoundingNote>[]): SoundingPoints {
  const points = new SoundingPoints();
  for (const note of notes) points.add(note);
  return points;
}

/** How much an impure consonance with a point counts; 0 if all its notes are expected to end. */
export function toBinding({ held, leaving, unsure }: SoundingPoint): number {
  if (held > leaving + unsure) return HELD;
  return unsure > 0 || held === 0 ? LOOSE : 0;
}
