import type { Ledger } from './ledger.js';
import type { Memory } from './memory.js';
import type { SoundingNote } from './note.js';
import type { Struck } from './places.js';
import type { TunerSettings } from './settings.js';
import type { SoundingPoints } from './sounding-points.js';
import type { WholeCost } from './strike-choice.js';
import { toFading } from './weights.js';

/**
 * The common offset is added to everything that sounds, to bring it home or let it drift.
 *
 * New notes take it at once. A tied note that follows keeps its pitch at the moment of the move and catches up over the
 * glide time; one that stays never does. `lagCents` says how far behind it is.
 */
export interface CommonOffset {
  cents: number;
  /** Its value before the running strike: revisions start from there, so the order of fingers doesn't matter. */
  strikeBaseCents: number;
  /**
   * How far every following note is behind it, in cents. While tied notes glide, new ones start with the same lag and
   * glide along, so that the harmony is pure throughout. Then, how far it was when the running glide began.
   */
  lagCents: number;
  lagFromCents: number;
  /** Start of the running glide, and its length until every lag is 0. -Infinity when none runs. */
  glideFromMs: number;
  glideMs: number;
  /** When the last glide began, running or over. */
  lastGlideMs: number;
}

/** An offset at rest at 0. */
export function createOffset(): CommonOffset {
  return {
    cents: 0,
    strikeBaseCents: 0,
    lagCents: 0,
    lagFromCents: 0,
    glideFromMs: -Infinity,
    glideMs: 0,
    lastGlideMs: -Infinity,
  };
}

/**
 * The least move that brings a mean at `meanCents` into the band of `leewayCents`.
 * @example toReturnCents(21.5, 8) // -13.5
 * @example toReturnCents(-3, 8)   // 0
 */
export function toReturnCents(meanCents: number, leewayCents: number): number {
  if (meanCents > leewayCents) return leewayCents - meanCents;
  if (meanCents < -leewayCents) return -leewayCents - meanCents;
  return 0;
}

/**
 * Moves the common offset. With no tied notes everything moves at once. Tied notes keep their pitch and lag; when they
 * are to follow, a glide begins, and new notes glide along.
 *
 * @param isLeaving where the piece is known: which tied notes are about to end, and keep their pitch
 * @returns whether any note lags now
 */
export function moveOffset(
  offset: CommonOffset,
  notes: readonly SoundingNote[],
  settings: TunerSettings,
  cents: number,
  atMs: number,
  isLeaving?: (note: Readonly<SoundingNote>) => boolean,
): boolean {
  offset.cents += cents;
  const follows = settings.held === 'follow';
  const isTied = notes.some(({ settled }) => settled);
  if (!isTied) return false;
  if (follows) offset.lagCents -= cents;
  for (const note of notes) {
    if (!note.settled) continue;
    note.lagCents -= cents;
    if (!follows) {
      note.leanCents -= cents;
      note.lagFromCents -= cents;
    }
    if (follows && isLeaving?.(note) === true) note.leanCents = note.lagCents;
  }
  if (follows) beginGlide(offset, notes, settings.glideMs, atMs);
  return true;
}

/** Begins a glide: each note from its present lag to its lean. */
export function beginGlide(
  offset: CommonOffset,
  notes: readonly SoundingNote[],
  glideMs: number,
  atMs: number,
): void {
  for (const note of notes) note.lagFromCents = note.lagCents;
  offset.lagFromCents = offset.lagCents;
  offset.glideFromMs = atMs;
  offset.lastGlideMs = atMs;
  offset.glideMs = glideMs;
}

/** Sets every lag to its value at `atMs`: its note's lean, once the glide is over. */
export function glide(offset: CommonOffset, notes: readonly SoundingNote[], atMs: number): void {
  const left = offset.glideMs <= 0 ? 0 : Math.max(0, 1 - (atMs - offset.glideFromMs) / offset.glideMs);
  for (const note of notes) note.lagCents = note.leanCents + (note.lagFromCents - note.leanCents) * left;
  offset.lagCents = offset.lagFromCents * left;
  if (left === 0) offset.glideFromMs = -Infinity;
}

/**
 * One step of the pull: following notes move with the offset, staying ones fall behind.
 *
 * @param meanCents distance of the mean of what sounds from home
 * @returns how far the offset moved, in cents; 0 when the mean is inside the band
 */
export function pull(
  offset: CommonOffset,
  notes: readonly SoundingNote[],
  settings: TunerSettings,
  meanCents: number,
  stepMs: number,
): number {
  const wanted = toReturnCents(meanCents, settings.leewayCents);
  const most = (settings.rateCentsPerSecond * stepMs) / 1000;
  const cents = Math.max(-most, Math.min(most, wanted));
  offset.cents += cents;
  if (settings.held === 'stay' && cents !== 0) {
    for (const note of notes) {
      if (!note.settled) continue;
      note.lagCents -= cents;
      note.lagFromCents -= cents;
      note.leanCents -= cents;
    }
  }
  return cents;
}

/** From this distance on one hears a note come back elsewhere; common practice, no source. */
const NOTICED_CENTS = 5;
const UNKNOWN = -1;

/** The fields of a tuner that are read. */
interface AnchoredTuner {
  readonly sounding: SoundingPoints;
  readonly memory: Memory;
  readonly ledger: Ledger;
  readonly settings: TunerSettings;
  readonly offset: CommonOffset;
  readonly driftHeld: boolean;
}

/**
 * The cost of an anchored strike from the anchor's move: each cent that tied notes move, and each key class that comes
 * back at another pitch.
 *
 * Lattice points alone don't show it. In a narrow band the common offset may cancel a comma of the lattice; and a
 * seventh that is pure on top of its chord pushes its three other notes down. So the price of coming back counts for
 * the whole choice, by the pitch heard; other strategies price each candidate. Both prices rise as the band narrows.
 *
 * @example under the strict anchor a strike that moves two tied notes by 1.5 cents costs 1.05
 */
export class AnchorCost implements WholeCost {
  #settings: TunerSettings | undefined;
  #fromCents = 0;
  #driftHeld = false;
  /** How many notes are tied over into the strike. */
  #tied = 0;
  /** How many notes count in the mean, and the sum of their distances from home without the common offset. */
  #countedNotes = 0;
  #countedCents = 0;
  #tiedPrice = 0;
  #returnPrice = 0;
  /** By key class: time since it ended, Infinity where it sounds or never did; and its last pitch, off its key. */
  readonly #ageSeconds = new Float64Array(12);
  readonly #lastCents = new Float64Array(12);
  /** How much that last pitch still matters, computed when needed. */
  readonly #fadings = new Float64Array(12);

  /**
   * Reads what was there before a strike.
   *
   * @param tuner as it was before the strike, but for notes that aren't settled
   * @param atMs  when the strike began: ages count to then, whichever finger lands last
   */
  hear({ sounding, memory, ledger, settings, offset, driftHeld }: AnchoredTuner, atMs: number): void {
    const { weights, held, leewayCents } = settings;
    for (let keyClass = 0; keyClass < 12; keyClass++) {
      const slot = memory[keyClass];
      this.#ageSeconds[keyClass] = slot === undefined ? Infinity : (atMs - slot.endedMs) / 1000;
      this.#fadings[keyClass] = UNKNOWN;
      this.#lastCents[keyClass] = ledger.accounts[keyClass]?.lastPitchCents ?? 0;
    }
    const tied = sounding.size;
    const tiedCents = sounding.toCentsSum(settings);
    for (const { keyClass } of sounding) this.#ageSeconds[keyClass] = Infinity;
    const narrowness = 1 / (1 + leewayCents / weights.narrowCents);
    this.#settings = settings;
    this.#fromCents = offset.strikeBaseCents;
    this.#driftHeld = driftHeld;
    this.#tied = tied;
    // Tied notes that stay don't count in the mean that places the new ones.
    this.#countedNotes = held === 'follow' ? tied : 0;
    this.#countedCents = held === 'follow' ? tiedCents : 0;
    this.#tiedPrice = weights.tiedPrice * narrowness;
    this.#returnPrice = weights.returnPrice * (1 + weights.narrowReturn * narrowness);
  }

  /** The price of one choice; 0 where nothing moves. */
  of({ size, classes, counts }: Struck, deviationCents: Float64Array): number {
    const { home, weights, leewayCents } = this.#settings!;
    const from = this.#fromCents;
    let count = this.#countedNotes;
    let sum = this.#countedCents;
    for (let i = 0; i < size; i++) {
      const keyClass = classes[i];
      count += counts[keyClass];
      sum += counts[keyClass] * (deviationCents[keyClass] - home.deviationCents[keyClass]);
    }
    const move = this.#driftHeld ? 0 : toReturnCents(sum / count + from, leewayCents);
    let cost = this.#tiedPrice * this.#tied * Math.abs(move);
    for (let i = 0; i < size; i++) {
      const keyClass = classes[i];
      const fading = this.#fadingOf(keyClass);
      if (fading === 0) continue;
      const jump = Math.abs(deviationCents[keyClass] + from + move - this.#lastCents[keyClass]);
      const step = jump > NOTICED_CENTS ? weights.returnStep : 0;
      cost += this.#returnPrice * fading * (step + Math.min(3, jump / weights.returnCents));
    }
    return cost;
  }

  #fadingOf(keyClass: number): number {
    let fading = this.#fadings[keyClass];
    if (fading === UNKNOWN) {
      fading = toFading(this.#settings!.weights, this.#ageSeconds[keyClass]);
      this.#fadings[keyClass] = fading;
    }
    return fading;
  }
}
