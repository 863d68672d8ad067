import { spread } from '../../core/drawing/index.js';
import type { NoteFact, Tuning } from '../../core/protocol/index.js';
import { formatDecider } from '../../core/words/index.js';
import { type HeardNote, type HeardStep, toHeardStep } from '../heard/heard-chord.js';

/** A note on the ladder. Heights count downward from the top, in the units of the space given. */
export interface Rung {
  readonly note: HeardNote;
  /** The height of its pitch, and of its words. */
  readonly trueY: number;
  readonly y: number;
}

/** The interval between two neighbouring rungs. */
export interface Step extends HeardStep {
  readonly y: number;
  readonly room: number;
}

/** A chord as a ladder, lowest note at the bottom. */
export interface Ladder {
  readonly rungs: readonly Rung[];
  readonly steps: readonly Step[];
  readonly gap: number;
  /** From the deciding note of the newest one to that one, if both sound: indices of rungs. */
  readonly arrow: { readonly from: number; readonly to: number } | undefined;
}

/** A ladder of a narrow chord is stretched only as if it were this wide, in cents. */
const NARROWEST_CENTS = 700;

/**
 * Places a chord on a ladder of `height`: rungs true to pitch, words moved apart only as far as needed.
 *
 * @param notes from the lowest up
 * @param heard the tuning they are in
 * @param edge room above the highest rung and below the lowest
 * @param wantedGap wanted room of a rung and the step above it
 */
export function toLadder(
  notes: readonly HeardNote[],
  heard: Tuning,
  height: number,
  edge: number,
  wantedGap: number,
): Ladder {
  if (notes.length === 0) return { rungs: [], steps: [], gap: wantedGap, arrow: undefined };
  const pitches = notes.map(({ cents }) => cents);
  const low = Math.min(...pitches);
  const span = Math.max(NARROWEST_CENTS, Math.max(...pitches) - low);
  const room = height - 2 * edge;
  const trueYs = pitches.map((pitch) => height - edge - ((pitch - low) / span) * room);
  const gap = Math.min(wantedGap, notes.length > 1 ? room / (notes.length - 1) : room);
  const ys = spread(trueYs, gap, edge, height - edge);
  const rungs = notes.map((note, i) => ({ note, trueY: trueYs[i], y: ys[i] }));
  const steps = rungs.slice(1).map(({ note, y }, i) => {
    const below = rungs[i];
    return { y: (y + below.y) / 2, room: below.y - y, ...toHeardStep(below.note, note, heard) };
  });
  return { rungs, steps, gap, arrow: findArrow(notes) };
}

function findArrow(notes: readonly HeardNote[]): Ladder['arrow'] {
  const newest = findNewest(notes);
  const decider = newest?.by?.id ?? null;
  if (newest === undefined || decider === null) return undefined;
  const from = notes.findIndex((note) => note.id === decider);
  return from < 0 ? undefined : { from, to: notes.indexOf(newest) };
}

/** The note struck last that another note decided. */
export function findNewest(notes: readonly HeardNote[]): HeardNote | undefined {
  const decided = notes.filter(({ by }) => by !== undefined && by.presence !== 'first');
  return decided.reduce<HeardNote | undefined>(
    (best, note) => (best === undefined || note.id > best.id ? note : best),
    undefined,
  );
}

/** Why the newest note has its pitch: E4⁻¹ is a just major third above C4⁰, held. */
export function toReasonSentence(notes: readonly HeardNote[]): string {
  const newest = findNewest(notes);
  if (newest?.by === undefined) return '';
  const sentence = `${newest.name} is ${formatDecider(newest.by)}.`;
  return newest.isFixed ? `${sentence} Its pitch is fixed: the others are tuned to it.` : sentence;
}

/** The bend that doesn't change a key's pitch. */
const BEND_CENTRE = 8192;

/**
 * How a note is sent to a synth, line by line: its channel, counted from 1, and its bend from the centre, if any. Empty
 * if it has no channel. A note that can't be tuned passes as it is.
 *
 * @example toRouteLines({ isFixed: false, channel: 1, bend: 8171 })  // ['ch 2', 'bend −21']
 */
export function toRouteLines({
  isFixed,
  channel,
  bend,
}: Pick<NoteFact, 'isFixed' | 'channel' | 'bend'>): string[] {
  if (isFixed) return ['fixed'];
  if (channel === null) return [];
  const lines = [`ch ${channel + 1}`];
  if (bend === null) return lines;
  const away = bend - BEND_CENTRE;
  return [...lines, `bend ${away < 0 ? '−' : away > 0 ? '+' : ''}${Math.abs(away)}`];
}
