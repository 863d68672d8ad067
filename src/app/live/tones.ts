import { ratio, toDeviationCents } from '../../core/theory/index.js';
import type { LiveOutlet } from './live-outlet.js';

/** One note of a tone: the key that is sent, and its wanted pitch, 6900 being A = 440 Hz. */
export interface ToneNote {
  readonly key: number;
  readonly cents: number;
}

/** Something to listen to: its notes start one after the other, sound together, and end together. */
export interface Tone {
  readonly kind: 'note' | 'third' | 'fifth' | 'unison';
  readonly notes: readonly ToneNote[];
  readonly velocity: number;
}

/** Middle C, and the key over it. */
const BASS = 60;
const bass: ToneNote = { key: BASS, cents: 100 * BASS };

/**
 * Tones that let one hear whether a synth bends as far as it should. Over a note a just major third and a just fifth,
 * which beat unless they are pure. Then a unison of two keys, one of them bent down a semitone, which beats unless the
 * bend is right to a cent. The first is soft, since the loudness of the synth is unknown.
 */
export const TONES: readonly Tone[] = [
  { kind: 'note', notes: [bass], velocity: 24 },
  { kind: 'third', notes: [bass, toNote(64, '5/4')], velocity: 40 },
  { kind: 'fifth', notes: [bass, toNote(67, '3/2')], velocity: 40 },
  { kind: 'unison', notes: [bass, { key: BASS + 1, cents: bass.cents }], velocity: 40 },
];

/** A receiver needs a moment to set itself up. */
const SET_UP_MS = 300;
/** Pauses: before the next note of a tone, while all sound (several seconds for a slow beat), and between tones. */
const ALONE_MS = 2000;
const TOGETHER_MS = 7000;
const REST_MS = 1000;

/** What playing tones needs from outside. */
export interface ToneEdges {
  readonly now: () => number;
  /** Waits; returns at once when it is over. */
  readonly wait: (ms: number) => Promise<void>;
  readonly isOver: () => boolean;
  /** Called just before a tone, to announce it. */
  readonly before: (tone: Tone) => void;
  /** Throws if the port no longer works. */
  readonly check: () => void;
}

/**
 * Plays {@link TONES} again and again through a connected outlet, until it is over. Whatever ends it, it leaves
 * silence.
 */
export async function playTones(
  outlet: LiveOutlet,
  { now, wait, isOver, before, check }: ToneEdges,
): Promise<void> {
  let id = 0;
  try {
    await wait(SET_UP_MS);
    while (!isOver()) {
      for (const tone of TONES) {
        check();
        if (isOver()) return;
        before(tone);
        const first = id;
        for (const { key, cents } of tone.notes) {
          if (id > first) await wait(ALONE_MS);
          if (isOver()) return;
          outlet.outlet.start(now(), id++, 0, key, tone.velocity, cents);
        }
        await wait(TOGETHER_MS);
        for (let ended = first; ended < id; ended++) {
          outlet.outlet.release(now(), ended, 64);
          outlet.outlet.end(now(), ended);
        }
        await wait(REST_MS);
      }
    }
  } finally {
    // A port that refused one message may take the next ones.
    outlet.sink.clear();
    outlet.drain(now());
  }
}

function toNote(key: number, interval: string): ToneNote {
  return { key, cents: 100 * key + toDeviationCents(ratio(interval)) };
}
