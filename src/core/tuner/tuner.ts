import type { PrimeVector, Tonic } from '../theory/index.js';
import { type Chooser, createChooser, createSeeds } from './chooser.js';
import { type CommonOffset, createOffset } from './common-offset.js';
import type { Pedal, TunerOut } from './events.js';
import type { Guide } from './guide.js';
import { createLedger, type Ledger, type ReturnEntry } from './ledger.js';
import { createMemory, type Memory } from './memory.js';
import type { Background, ReasonSource, SoundingNote } from './note.js';
import { Scene } from './scene.js';
import type { TunerSettings } from './settings.js';
import { type SoundingPoint, SoundingPoints } from './sounding-points.js';

/** By pedal of a part: whether it is down. */
export type Pedals = Record<Pedal, boolean>;

/** How a part has been played lately, as shares from 0 to 1, and what it holds. */
export interface Touch {
  /** Share of notes that ended only after the next of their lines were struck. */
  legato: number;
  /** Share of the notes held into a strike that ended soon after it. */
  sweeping: number;
  /** Its settled notes whose keys are down. */
  readonly held: Set<SoundingNote>;
}

/** A strike that can still be revised, and its result so far. */
export interface OpenStrike {
  readonly atMs: number;
  lastMs: number;
  /** No more notes join it; it only waits for fingers still to leave the chord before. */
  isWaiting: boolean;
  /** Why it takes its place at home as a whole, not where the music is: the very first, or on request. */
  homingCause: 'first strike' | 'home' | undefined;
  struck: number;
  tied: number;
  /** Its notes, and what may have decided them: reasons are given when it closes, off the note path. */
  readonly members: SoundingNote[];
  /** What came back elsewhere in it. */
  readonly returns: ReturnEntry[];
  background: Background | undefined;
  /** Held notes that its own notes follow, and the points marked for them. */
  leaving: ReadonlySet<SoundingNote>;
  readonly marked: SoundingPoint[];
  /** Set when it was placed again without late notes: the key of the last of them, and how much later. */
  without: ReasonSource['without'];
}

/** A run of the pull that isn't in the ledger yet. */
interface OpenPull {
  fromMs: number;
  cents: number;
  tied: number;
}

/**
 * What sounds, what is remembered, the common offset and the ledger. Updated in place by `step` alone; changed settings
 * replace some fields. The same events at the same times give the same decisions, in a file and live.
 */
export interface Tuner {
  readonly settings: TunerSettings;
  /** Decides instead, where the whole piece is known beforehand. */
  readonly guide: Guide | undefined;
  readonly chooser: Chooser;
  /** What the notes of the open strike are measured against. */
  readonly scene: Scene;
  /** The place of each key class when nothing was ever heard. */
  readonly seeds: readonly PrimeVector[];
  /** Everything that can be heard, in the order it was struck. */
  readonly notes: SoundingNote[];
  /** The same by part and key, see `toSlot`; and by the points of settled notes. */
  readonly byKey: Map<number, SoundingNote[]>;
  readonly sounding: SoundingPoints;
  readonly memory: Memory;
  readonly offset: CommonOffset;
  readonly ledger: Ledger;
  readonly pedals: Map<number, Pedals>;
  /** Key whose lattice point is 1/1: the tonic in the octave of middle C. */
  readonly originKey: number;
  readonly touches: Map<number, Touch>;
  /** Sounding notes of partners that can't be tuned: everything else is tuned to them. */
  readonly fixed: Set<SoundingNote>;
  nowMs: number;
  nextId: number;
  /** The number of the piece's first note. */
  firstId: number;
  fifthsMean: number;
  /** No note has settled yet: the first strike takes its place at home as a whole. */
  fresh: boolean;
  /** The next strike takes its place at home as a whole. */
  homing: boolean;
  /** The offset doesn't move: no anchoring, no pull. */
  driftHeld: boolean;
  /** Some note may lag behind the common offset. */
  isLagging: boolean;
  strike: OpenStrike | undefined;
  pulling: OpenPull | undefined;
}

/**
 * A tuner before its first note, with nothing remembered and a drift of 0.
 *
 * @param guide   what a plan of the piece has decided; without it the tuner decides by itself
 * @param firstId number of its first note
 * @example
 * const tuner = createTuner(DEFAULT_SETTINGS);
 * tuner.notes  // []
 */
export function createTuner(settings: TunerSettings, guide?: Guide, firstId = 0): Tuner {
  const chooser = createChooser(settings);
  return {
    settings,
    guide,
    chooser,
    scene: new Scene(chooser),
    seeds: createSeeds(settings.home, settings.limit),
    notes: [],
    byKey: new Map(),
    sounding: new SoundingPoints(),
    memory: createMemory(),
    offset: createOffset(),
    ledger: createLedger(),
    pedals: new Map(),
    touches: new Map(),
    fixed: new Set(),
    originKey: toOriginKey(settings.home.tonic),
    nowMs: -Infinity,
    nextId: firstId,
    firstId,
    fifthsMean: settings.home.tonic.fifths,
    fresh: true,
    homing: false,
    driftHeld: false,
    isLagging: false,
    strike: undefined,
    pulling: undefined,
  };
}

/** The key whose lattice point is 1/1. @example toOriginKey({ keyClass: 2, fifths: 2 })  // 62 */
export function toOriginKey(tonic: Tonic): number {
  return 60 + tonic.keyClass;
}

/**
 * A note's pitch on the scale of MIDI keys, in cents: 6900 is A = 440 Hz. Without limit; the player's own bend is not
 * in it.
 */
export function toSoundingCents(tuner: Tuner, note: Readonly<SoundingNote>): number {
  return (
    100 * note.key + note.deviationCents + tuner.offset.cents + note.lagCents + tuner.settings.referenceCents
  );
}

/**
 * How far the mean of what sounds is from home, in cents, as if every glide were over. 0 where nothing sounds. Positive
 * is above home. Without limit under `free`.
 */
export function toMeanFromHome(tuner: Tuner): number {
  return toMeanCents(tuner, tuner.offset.cents);
}

/** The same with another common offset. */
export function toMeanCents({ sounding, strike, settings }: Tuner, offsetCents: number): number {
  let count = sounding.size;
  let sum = sounding.toCentsSum(settings);
  if (strike !== undefined) {
    for (const { settled, deviationCents, keyClass } of strike.members) {
      if (settled) continue;
      count += 1;
      sum += deviationCents - settings.home.deviationCents[keyClass];
    }
  }
  return count === 0 ? 0 : sum / count + offsetCents;
}

/** Notes of one part that can be heard; of one of its fingers, unless that is 0. */
export function notesOf(tuner: Tuner, part: number, finger = 0): SoundingNote[] {
  return tuner.notes.filter((note) => note.part === part && (finger === 0 || note.finger === finger));
}

/** Index of the notes of a part and key. */
export function toSlot(part: number, key: number): number {
  return 128 * part + key;
}

/** Adds a note under its part and key. */
export function addToSlot({ byKey }: Tuner, note: SoundingNote): void {
  const slot = toSlot(note.part, note.key);
  const notes = byKey.get(slot);
  if (notes === undefined) byKey.set(slot, [note]);
  else notes.push(note);
}

/** The first note that a finger of a part holds on a key; undefined where there is none. */
export function findDown({ byKey }: Tuner, part: number, key: number, finger = 0): SoundingNote | undefined {
  return byKey.get(toSlot(part, key))?.find((note) => note.keyDown && note.finger === finger);
}

/** The first note of a part on a key that only a pedal holds; undefined where there is none. */
export function findRinging({ byKey }: Tuner, part: number, key: number): SoundingNote | undefined {
  return byKey.get(toSlot(part, key))?.find((note) => !note.keyDown);
}

/** Reports every note whose pitch differs from the one reported last. */
export function reportMoves(tuner: Tuner, atMs: number, out: TunerOut): void {
  for (const note of tuner.notes) reportMove(tuner, note, atMs, out);
}

/** Reports one note, if it moved. */
export function reportMove(tuner: Tuner, note: SoundingNote, atMs: number, out: TunerOut): void {
  const cents = toSoundingCents(tuner, note);
  const moved = Math.abs(cents - note.reportedCents);
  if (moved < 1e-9) return;
  if (isTied(tuner, note, atMs)) tuner.ledger.totals.glidedCents += moved;
  note.reportedCents = cents;
  out.retune(atMs, note, cents);
}

/** Whether a moving note is older than the glide: one struck during it only starts where the others are. */
function isTied({ offset, settings }: Tuner, { settled, struckMs }: SoundingNote, atMs: number): boolean {
  const isGliding = atMs <= offset.lastGlideMs + offset.glideMs + settings.tickMs;
  return settled && !(isGliding && struckMs >= offset.lastGlideMs);
}
