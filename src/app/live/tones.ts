import { ratio, toDeviationCents } from '../../core/theory/index.js';
import type { LiveOutlet } from './live-outlet.js';

/** One note of a tone: the key that is sent, and the pitch it is to have, 6900 being A = 440 Hz. */
export interface ToneNote {
  readonly key: number;
  readonly cents: number;
}

/** Something to listen to: its notes come in one after the other, sound together, and end together. */
export interface Tone {
  readonly kind: 'note' | 'third' | 'fifth' | 'unison';
  readonly notes: readonly ToneNote[];
  readonly velocity: number;
}

/** Middle C, and what is heard over it. */
const BASS = 60;
const bass: ToneNote = { key: BASS, cents: 100 * BASS };

/**
 * What shows by ear whether a synth bends as far as it is told to: over a note a just major third and a just fifth, which
 * stand still only if they are pure, and a unison of two keys, one of them bent down a semitone, which beats unless the
 * bend is right to a cent. The first is soft, since nobody knows yet how loud the synth is.
 */
export const TONES: readonly Tone[] = [
  { kind: 'note', notes: [bass], velocity: 24 },
  { kind: 'third', notes: [bass, toNote(64, '5/4')], velocity: 40 },
  { kind: 'fifth', notes: [bass, toNote(67, '3/2')], velocity: 40 },
  { kind: 'unison', notes: [bass, { key: BASS + 1, cents: bass.cents }], velocity: 40 },
];

/** A receiver takes a moment to set itself up. */
const SET_UP_MS = 300;
/** Before the next note of a tone comes in; while all sound, several seconds for a slow beat; and between tones. */
const ALONE_MS = 2000;
const TOGETHER_MS = 7000;
const REST_MS = 1000;

/** What playing tones needs of the world. */
export interface ToneEdges {
  readonly now: () => number;
  /** Waits; comes back at once when it is over. */
  readonly wait: (ms: number) => Promise<void>;
  readonly isOver: () => boolean;
  /** Told just before a tone, for people to know what they will hear. */
  readonly before: (tone: Tone) => void;
  /** Throws if the port can't be heard any more. */
  readonly check: () => void;
}

/**
 * Plays {@link TONES} again and again through an outlet that is connected, until it is over. Whatever ends it, it leaves
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
