import { decideKey } from './bend.js';
import type { Expression } from './fingers.js';
import { type DownNote, type DownNotes, HeardNotes, type ListedNote } from './member-notes.js';

/** How far from its best key a note may be moved when that key is held at another pitch, in keys. */
const REACH = 2;

/** A key of the tuning table and the notes on it. */
export interface TunedKey {
  readonly key: number;
  /** Notes that can be heard on it. The last one owns the tuning. */
  readonly notes: HeardNotes<TunedNote>;
  /** The tuning word the receiver has for it; -1 when unknown. */
  tuning: number;
}

/** A note as it was sent. Its note-off replays `channel` and `key`. */
export interface TunedNote extends ListedNote<TunedNote>, DownNote<TunedNote> {
  readonly id: number;
  readonly part: number;
  readonly channel: number;
  readonly tunedKey: TunedKey;
  /** When it started, in milliseconds. */
  readonly atMs: number;
  /** Wanted pitch, what its finger adds not counted; 6900 is key 69. */
  cents: number;
  /** What its finger adds: follows the finger while the key is down. */
  expression: Expression;
  /** Whether there is no tuning word for the wanted pitch. */
  isClamped: boolean;
}

/** 128 keys of unknown tuning. @example createTunedKeys()[60].tuning  // -1 */
export function createTunedKeys(): TunedKey[] {
  return Array.from({ length: 128 }, (_, key) => ({ key, notes: new HeardNotes(), tuning: -1 }));
}

/**
 * The key to send a note on, where any key can be tuned to any pitch: the key played, or the nearest to the pitch if
 * drift is more than a semitone. If {@link isTaken}, a free neighbour, nearest to the pitch, at most two keys away so
 * that no sample is stretched far. With none free, the first choice is shared. Hot path: allocates nothing.
 *
 * @param tuning the word the note needs, from `toTuning`
 * @param down   the notes that are down on its channel
 * @example
 * const keys = createTunedKeys();
 * chooseTunedKey(keys, 60, 5978.5, toTuning(5978.5), new DownNotes(), 250).key  // 60
 * keys[60].notes.add({ atMs: 0 });  // another note has it
 * chooseTunedKey(keys, 60, 5978.5, toTuning(5978.5), new DownNotes(), 250).key  // 59
 */
export function chooseTunedKey(
  keys: readonly TunedKey[],
  playedKey: number,
  cents: number,
  tuning: number,
  down: DownNotes<TunedNote>,
  atMs: number,
): TunedKey {
  const first = keys[decideKey(playedKey, cents, 0, Number.POSITIVE_INFINITY)];
  if (!isTaken(first, tuning, down, atMs)) return first;
  let best = first;
  let bestCents = Number.POSITIVE_INFINITY;
  const highest = Math.min(first.key + REACH, keys.length - 1);
  for (let key = Math.max(first.key - REACH, 0); key <= highest; key++) {
    const away = Math.abs(cents - 100 * key);
    if (away < bestCents && !isTaken(keys[key], tuning, down, atMs)) {
      best = keys[key];
      bestCents = away;
    }
  }
  return best;
}

/**
 * Whether a note that needs `tuning` would disturb another on that key, now or later, or couldn't be released
 * separately. Only notes of one time and one pitch may share a key: of others one may move while the other stays.
 *
 * @param down the notes that are down on the new one's channel
 * @param atMs now: no note has started later
 * @example isTaken(createTunedKeys()[60], toTuning(5978.5), new DownNotes(), 250)  // false: nothing sounds on it
 */
export function isTaken(
  tunedKey: TunedKey,
  tuning: number,
  down: DownNotes<TunedNote>,
  atMs: number,
): boolean {
  // If the first started now, so did all of them.
  const { first } = tunedKey.notes;
  if (first === undefined) return false;
  return tunedKey.tuning !== tuning || first.atMs !== atMs || down.at(tunedKey.key) !== undefined;
}
