import { Line, type LineListener } from '../line/index.js';
import type { Track } from '../midi/index.js';
import { divide, type PrimeVector, toDeviationCents } from '../theory/index.js';
import {
  createTuner,
  type Drift,
  type Guide,
  LEAVING_MS,
  type LedgerEntry,
  type Reason,
  reasonOf,
  type SoundingNote,
  type Tuner,
  type TunerSettings,
  toDrift,
  toMeanFromHome,
  toSoundingCents,
} from '../tuner/index.js';
import type { PartMap } from './parts.js';
import { playPart } from './play-part.js';
import { visitMessages } from './visit-messages.js';

/** A note at a moment. */
export interface MomentNote {
  readonly key: number;
  readonly part: number;
  /** Struck just now, tied over by its key, or ringing on by a pedal alone. */
  readonly presence: 'struck' | 'held' | 'pedalled';
  /** Its ratio to the tonic of home, octaves included. */
  readonly point: PrimeVector;
  /** Its ratio to the lowest note. */
  readonly fromBass: PrimeVector;
  /** Distance from 12 equal at the reference pitch, in cents. */
  readonly deviationCents: number;
  /** It is of a part that can't be tuned, and sounds at its own pitch. */
  readonly isFixed: boolean;
  /** What decided it, when it was struck. */
  readonly reason: Reason;
}

/** A strike and everything that sounds with it: one chord. */
export interface Moment {
  readonly tick: number;
  readonly atMs: number;
  /** From the lowest note up. */
  readonly notes: readonly MomentNote[];
  /** The drift with this chord. */
  readonly drift: Drift;
  /** How far the mean of what sounds is from home, in cents. */
  readonly fromHomeCents: number;
  /** What was entered in the ledger since the moment before. */
  readonly entries: readonly LedgerEntry[];
}

/** A piece as a list of moments, and the tuner at its end. */
export interface RecountedPiece {
  readonly moments: readonly Moment[];
  readonly tuner: Tuner;
  /** What was entered after the last moment. */
  readonly closing: readonly LedgerEntry[];
}

/**
 * Plays tracks through a tuner and records, for every strike, what sounded and why. Notes of one strike window are one
 * moment, at the tick of the last of them.
 *
 * @param guide the plan of the piece; `'live'`: none, the tuner decides as it would in playing
 * @param toMs when a tick is due, in milliseconds
 */
export function recountMoments(
  tracks: readonly Track[],
  parts: PartMap,
  toMs: (tick: number) => number,
  settings: TunerSettings,
  guide: Guide | 'live',
): RecountedPiece {
  const teller = new Teller(createTuner(settings, guide === 'live' ? undefined : guide));
  const line = new Line(teller.tuner, () => [], teller);
  const atMs = visitMessages(tracks, parts, toMs, (tick, now, part, status, data1, data2, finger) => {
    playPart(line, part, now, status, data1, data2, finger);
    teller.look(tick, now);
  });
  line.time(atMs + Math.max(settings.strikeWindowMs, LEAVING_MS));
  return teller.finish();
}

/** A moment being gathered: it is recorded when its notes have settled, since until then they may be revised. */
interface OpenMoment {
  tick: number;
  atMs: number;
  notes: {
    note: SoundingNote;
    point: PrimeVector;
    presence: MomentNote['presence'];
    deviationCents: number;
  }[];
  fromHomeCents: number;
  offsetCents: number;
}

class Teller implements LineListener {
  readonly tuner: Tuner;
  readonly #moments: Moment[] = [];
  #entries: LedgerEntry[] = [];
  #open: OpenMoment | undefined;
  #strike: Tuner['strike'];
  #struck = false;

  constructor(tuner: Tuner) {
    this.tuner = tuner;
  }

  start(): void {
    // A new strike: the one before has settled, so its moment is complete.
    if (this.tuner.strike !== this.#strike) this.#close();
    this.#strike = this.tuner.strike;
    this.#struck = true;
  }

  enter(entry: LedgerEntry): void {
    this.#entries.push(entry);
  }

  /** Records what sounds, if the last message struck a note. */
  look(tick: number, atMs: number): void {
    if (!this.#struck) return;
    this.#struck = false;
    const { tuner } = this;
    const glides = tuner.settings.held === 'follow';
    const notes = tuner.notes.map((note) => ({
      note,
      point: note.point,
      presence: toPresence(note),
      // A tied note that follows is shown at the end of its glide, a few hundredths of a second later.
      deviationCents:
        toSoundingCents(tuner, note) -
        (glides ? note.lagCents - note.leanCents : 0) -
        tuner.settings.referenceCents -
        100 * note.key,
    }));
    this.#open = { tick, atMs, notes, fromHomeCents: toMeanFromHome(tuner), offsetCents: tuner.offset.cents };
  }

  finish(): RecountedPiece {
    this.#close();
    return { moments: this.#moments, tuner: this.tuner, closing: this.#entries };
  }

  #close(): void {
    const open = this.#open;
    if (open === undefined) return;
    this.#open = undefined;
    const sorted = open.notes.sort((a, b) => a.note.key - b.note.key || a.note.id - b.note.id);
    const bass = sorted[0].note.point;
    const notes = sorted.map(({ note, point, presence, deviationCents }) => ({
      key: note.key,
      part: note.part,
      presence,
      point: note.point,
      fromBass: divide(note.point, bass),
      // Since then it may have been placed again; a fixed note stays where it is.
      deviationCents:
        deviationCents + (note.fixedCents === undefined ? toDeviationCents(divide(note.point, point)) : 0),
      isFixed: note.fixedCents !== undefined,
      reason: reasonOf(note),
    }));
    const { tick, atMs, fromHomeCents, offsetCents } = open;
    // The next strike may have moved the offset already; its step of the drift is still to come.
    const drift = toDrift({ ledger: this.tuner.ledger, offset: { cents: offsetCents } });
    this.#moments.push({ tick, atMs, notes, drift, fromHomeCents, entries: this.#entries });
    this.#entries = [];
  }
}

function toPresence(note: SoundingNote): MomentNote['presence'] {
  if (!note.settled) return 'struck';
  return note.keyDown ? 'held' : 'pedalled';
}
