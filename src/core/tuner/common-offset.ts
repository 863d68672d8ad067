import type { Ledger } from './ledger.js';
import type { Memory } from './memory.js';
import type { SoundingNote } from './note.js';
import type { Struck } from './places.js';
import type { TunerSettings } from './settings.js';
import type { SoundingPoints } from './sounding-points.js';
import type { WholeCost } from './strike-choice.js';
import { toFading } from './weights.js';

/**
 * The common offset: what is added to everything that sounds, to bring it home or let it drift.
 *
 * New notes take it at once. A tied note that shall follow keeps its pitch at the moment of the move and makes up for
 * it over the glide time; one that shall stay never does. Either way its `lagCents` says how far behind it is.
 */
export interface CommonOffset {
  cents: number;
  /** Where it stood before the running strike: revisions start from there, so the order of fingers doesn't matter. */
  strikeBaseCents: number;
  /**
   * How far everything that goes along is behind it, in cents: while tied notes glide, new ones start where these are and
   * glide with them, so that the harmony is pure all the while. And how far it was when the running glide began.
   */
  lagCents: number;
  lagFromCents: number;
  /** Start of the running glide, and how long it takes until every lag is 0. -Infinity when none runs. */
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
 * How much a mean at `meanCents` must move to be inside the band of `leewayCents`: the least that does it.
 * @example toReturnCents(21.5, 8) // -13.5
 * @example toReturnCents(-3, 8)   // 0
 */
export function toReturnCents(meanCents: number, leewayCents: number): number {
  if (meanCents > leewayCents) return leewayCents - meanCents;
  if (meanCents < -leewayCents) return -leewayCents - meanCents;
  return 0;
}

/**
 * Moves the common offset. Where nothing is tied, all go along at once. Tied notes keep their pitch and lag behind; when they
 * are to follow, a glide begins, and new notes make it with them.
 *
 * @param isLeaving where the piece is known: which tied notes are about to end, and keep their pitch
 * @returns whether any note lags behind now
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

/** Begins a glide: from where each note lags now to where it leans. */
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

/** Brings every lag to where it has to be at `atMs`: to its note's lean, when the time of the glide is over. */
export function glide(offset: CommonOffset, notes: readonly SoundingNote[], atMs: number): void {
  const left = offset.glideMs <= 0 ? 0 : Math.max(0, 1 - (atMs - offset.glideFromMs) / offset.glideMs);
  for (const note of notes) note.lagCents = note.leanCents + (note.lagFromCents - note.leanCents) * left;
  offset.lagCents = offset.lagFromCents * left;
  if (left === 0) offset.glideFromMs = -Infinity;
}

/**
 * One step of the pull: everything that follows moves along with the offset, what stays falls behind by as much.
 *
 * @param meanCents how far the mean of what sounds stands from home
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

/** From this distance on a note is heard to come back elsewhere; common practice, no source. */
const NOTICED_CENTS = 5;
const UNKNOWN = -1;

/** What has to be known of a tuner. */
interface AnchoredTuner {
  readonly sounding: SoundingPoints;
  readonly memory: Memory;
  readonly ledger: Ledger;
  readonly settings: TunerSettings;
  readonly offset: CommonOffset;
  readonly driftHeld: boolean;
}

/**
 * What a way of placing an anchored strike costs because of where the anchor then puts everything: each cent that tied
 * notes have to move, and each key class that comes back at another pitch than it was last heard at.
 *
 * Lattice points alone don't tell. Under a narrow band a comma on the lattice may be none in pitch, since the common
 * offset goes the other way; and a seventh that is pure on top of its chord pushes its three other notes down. So the
 * price of coming back, which each candidate bears by itself under the other strategies, is here borne by the whole, by
 * the pitch that is heard. The narrower the band, the more it is the pitch that shall stand still: both prices rise.
 *
 * @example under the strict anchor a strike that moves two tied notes by 1.5 cents costs 1.05
 */
export class AnchorCost implements WholeCost {
  #settings: TunerSettings | undefined;
  #fromCents = 0;
  #driftHeld = false;
  /** How many notes are tied over into the strike. */
  #tied = 0;
  /** How many notes weigh on where the mean is put, and the sum of their distances from home without the common offset. */
  #bodySize = 0;
  #bodyCents = 0;
  #tiedPrice = 0;
  #returnPrice = 0;
  /** By key class: how long ago it ended, Infinity where it sounds or never did; and its pitch then, off its key. */
  readonly #ageSeconds = new Float64Array(12);
  readonly #lastCents = new Float64Array(12);
  /** How much it still matters where it was heard last: worked out when it is asked for. */
  readonly #fadings = new Float64Array(12);

  /**
   * Hears what was there before a strike.
   *
   * @param tuner as it was before the strike, but for notes that aren't settled
   * @param atMs  when the strike began: what was heard is as old as it was then, whichever finger lands last
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
    // Tied notes that stay don't weigh on where the new ones are put.
    this.#bodySize = held === 'follow' ? tied : 0;
    this.#bodyCents = held === 'follow' ? tiedCents : 0;
    this.#tiedPrice = weights.tiedPrice * narrowness;
    this.#returnPrice = weights.returnPrice * (1 + weights.narrowReturn * narrowness);
  }

  /** The price of one choice; 0 where nothing moves. */
  of({ size, classes, counts }: Struck, deviationCents: Float64Array): number {
    const { home, weights, leewayCents } = this.#settings!;
    const from = this.#fromCents;
    let count = this.#bodySize;
    let sum = this.#bodyCents;
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
