import { divide, UNISON } from '../theory/index.js';
import { toDeciders } from './fill-scene.js';
import type { Decider, Reason, ReasonSource, SoundingNote } from './note.js';
import type { PairCost } from './pair-cost.js';

/** The reason of a first note, and of one whose strike isn't closed yet. */
const FIRST_NOTE: Reason = Object.freeze({
  presence: 'first',
  deciderKey: -1,
  deciderPoint: UNISON,
  interval: UNISON,
});

/** A memory of any age still decides where nothing else was ever heard. */
const FAINTEST = 1e-12;

/**
 * Why a note got its ratio. Known when its strike closes, about 30 ms after it was struck; a first note until then.
 * Can't fail. Ratios are exact, keys 0..127.
 *
 * @example reasonOf(pumpedTuner.notes[0]).presence  // 'together': with the notes struck beside it
 */
export function reasonOf(note: Readonly<SoundingNote>): Reason {
  const { reasonSource } = note;
  if (reasonSource === undefined) return FIRST_NOTE;
  if ('reason' in reasonSource) return reasonSource.reason;
  reasonSource.reasons ??= explainStrike(reasonSource);
  return reasonSource.reasons.get(note)!;
}

/**
 * Finds for each note struck together the one that decided it: the nearest in harmony among held, recalled and
 * simultaneous notes. Nearness is a cost divided by a weight.
 *
 * Reasons are never circular: notes are explained one by one, the one closest to what was there before first, and each
 * may refer to those explained already. Where nothing was there before, the lowest note is the first.
 */
function explainStrike({
  struck,
  background,
  pairCost,
  without,
}: ReasonSource): ReadonlyMap<SoundingNote, Reason> {
  const deciders = toDeciders(background);
  const reasons = new Map<SoundingNote, Reason>();
  const open = struck.slice().sort((a, b) => a.key - b.key || a.id - b.id);
  const nearest = open.map((note) => findNearest(note, deciders, pairCost));
  while (open.length > 0) {
    let next = 0;
    for (let i = 1; i < open.length; i++) if (nearest[i].reach < nearest[next].reach) next = i;
    const [note] = open.splice(next, 1);
    const [{ decider }] = nearest.splice(next, 1);
    const reason = decider === undefined ? FIRST_NOTE : toReason(note, decider);
    reasons.set(note, without === undefined ? reason : { ...reason, without });

    const explained: Decider = { presence: 'together', key: note.key, point: note.point, weight: 1 };
    for (let i = 0; i < open.length; i++) {
      const reach = reachOf(open[i], explained, pairCost);
      if (reach < nearest[i].reach) nearest[i] = { decider: explained, reach };
    }
  }
  return reasons;
}

interface Nearest {
  decider: Decider | undefined;
  reach: number;
}

function findNearest(note: SoundingNote, deciders: readonly Decider[], pairCost: PairCost): Nearest {
  let decider: Decider | undefined;
  let reach = Infinity;
  for (const one of deciders) {
    const its = reachOf(note, one, pairCost);
    if (its < reach) {
      decider = one;
      reach = its;
    }
  }
  return { decider, reach };
}

/** One more than the pair cost, so that a faint memory of the same point doesn't win against a held fifth. */
function reachOf(note: SoundingNote, decider: Decider, pairCost: PairCost): number {
  return (1 + pairCost.between(note.point, decider.point)) / Math.max(decider.weight, FAINTEST);
}

function toReason(note: SoundingNote, decider: Decider): Reason {
  return {
    presence: decider.presence,
    deciderKey: decider.key,
    deciderPoint: decider.point,
    interval: divide(note.point, decider.point),
  };
}
