import type { PrimeVector } from '../theory/index.js';
import { type Chooser, createChooser } from './chooser.js';
import { type CommonOffset, createOffset, toBodyCents } from './common-offset.js';
import type { Pedal, TunerOut } from './events.js';
import type { Guide } from './guide.js';
import { createLedger, type Ledger } from './ledger.js';
import { createMemory, type Memory } from './memory.js';
import type { Background, SoundingNote } from './note.js';
import { Scene } from './scene.js';
import { createSeeds } from './seeds.js';
import type { TunerSettings } from './settings.js';

/** Which of a part's pedals are down. */
export type Pedals = Record<Pedal, boolean>;

/** Strike that is still open to revision: what came of it so far. */
export interface OpenStrike {
  atMs: number;
  /** Why it takes its place at home as a body rather than where the music stands: the very first, or asked for. */
  anew: 'first strike' | 'home' | undefined;
  struck: number;
  tied: number;
  /** Its notes, and what they can have been decided by: reasons are given when it closes, off the note path. */
  readonly members: SoundingNote[];
  background: Background | undefined;
}

/** A run of the pull that hasn't been booked yet. */
interface OpenPull {
  fromMs: number;
  cents: number;
  tied: number;
}

/**
 * What sounds, what is remembered, the common offset and the books. Updated in place by `step` alone.
 *
 * The same events at the same times give the same decisions, in a file and live.
 */
export interface Tuner {
  readonly settings: TunerSettings;
  /** Decides in its stead, where the whole piece is known beforehand. */
  readonly guide: Guide | undefined;
  readonly chooser: Chooser;
  /** What the notes of the open strike are measured against. */
  readonly scene: Scene;
  /** Where each key class may stand when nothing was ever heard. */
  readonly seeds: readonly PrimeVector[];
  /** Everything that can be heard, in the order it was struck. */
  readonly notes: SoundingNote[];
  readonly memory: Memory;
  readonly offset: CommonOffset;
  readonly ledger: Ledger;
  readonly pedals: Map<number, Pedals>;
  /** Key whose lattice point is 1/1: the tonic in the octave of middle C. */
  readonly originKey: number;
  nowMs: number;
  nextId: number;
  fifthsMean: number;
  /** No note has settled yet: the first strike takes its place at home as a body. */
  fresh: boolean;
  /** The next strike shall take its place at home as a body. */
  homing: boolean;
  /** The offset stays where it is: no anchoring, no pull. */
  driftHeld: boolean;
  strike: OpenStrike | undefined;
  pulling: OpenPull | undefined;
}

/**
 * A tuner before its first note.
 * @example const tuner = createTuner(toSettings({ strategy: 'free' }));
 */
export function createTuner(settings: TunerSettings, guide?: Guide): Tuner {
  const chooser = createChooser(settings);
  return {
    settings,
    guide,
    chooser,
    scene: new Scene(chooser),
    seeds: createSeeds(settings.home, settings.limit),
    notes: [],
    memory: createMemory(),
    offset: createOffset(),
    ledger: createLedger(),
    pedals: new Map(),
    originKey: 60 + settings.home.tonic.keyClass,
    nowMs: -Infinity,
    nextId: 0,
    fifthsMean: settings.home.tonic.fifths,
    fresh: true,
    homing: false,
    // A guide says where the offset stands; nothing else moves it.
    driftHeld: guide !== undefined && settings.strategy !== 'temper',
    strike: undefined,
    pulling: undefined,
  };
}

/** A note's pitch on the scale of MIDI keys, in cents: 6900 is A = 440 Hz. */
export function toSoundingCents(tuner: Tuner, note: Readonly<SoundingNote>): number {
  return (
    100 * note.key + note.deviationCents + tuner.offset.cents + note.lagCents + tuner.settings.referenceCents
  );
}

/** How far what sounds stands from home as a body, in cents, glides taken as done. */
export function toDriftCents(tuner: Tuner): number {
  return toBodyCents(tuner.notes, tuner.settings, tuner.offset.cents);
}

/** Notes of one part that can be heard. */
export function notesOf(tuner: Tuner, part: number): SoundingNote[] {
  return tuner.notes.filter((note) => note.part === part);
}

/** The first note of a part on a key, its key down or up; undefined where there is none. */
export function findNote(
  { notes }: Tuner,
  part: number,
  key: number,
  keyDown: boolean,
): SoundingNote | undefined {
  for (const note of notes) {
    if (note.key === key && note.part === part && note.keyDown === keyDown) return note;
  }
  return undefined;
}

/** Tells of every note whose pitch is no longer the one last told. */
export function reportMoves(tuner: Tuner, atMs: number, out: TunerOut): void {
  for (const note of tuner.notes) {
    const cents = toSoundingCents(tuner, note);
    const moved = Math.abs(cents - note.reportedCents);
    if (moved < 1e-9) continue;
    if (note.settled) tuner.ledger.totals.glidedCents += moved;
    note.reportedCents = cents;
    out.retune(atMs, note, cents);
  }
}
