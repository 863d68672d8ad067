import type { LedgerEntry } from '../../tuner/index.js';

/** A quantity in cents at a time; from one point to the next it moves evenly. */
export interface PathPoint {
  readonly atMs: number;
  readonly cents: number;
}

interface Move {
  readonly fromMs: number;
  readonly untilMs: number;
  readonly cents: number;
}

/** The common offset of a piece over time, from its moves. @example toOffsetPath([])  // [{ atMs: 0, cents: 0 }] */
export function toOffsetPath(entries: readonly LedgerEntry[]): PathPoint[] {
  return toPath(entries.flatMap((entry) => (entry.kind === 'offset' ? [toMove(entry)] : [])));
}

/**
 * The drift left over time: the steps of the harmony, and what the common offset gave back. A run of the pull
 * is drawn as even. Entries must be all of one piece.
 *
 * @param firstMs when the first note was struck: what the offset does there is no drift
 * @example toDriftPath([], 0)  // [{ atMs: 0, cents: 0 }]
 */
export function toDriftPath(entries: readonly LedgerEntry[], firstMs: number): PathPoint[] {
  const moves = entries.flatMap((entry) => {
    if (entry.kind === 'drift') return [{ fromMs: entry.atMs, untilMs: entry.atMs, cents: entry.cents }];
    return entry.kind === 'offset' && entry.atMs > firstMs ? [toMove(entry)] : [];
  });
  return toPath(moves);
}

/** The value of a path at a time, after what happens there. @example findCents([{ atMs: 0, cents: 3 }], 50)  // 3 */
export function findCents(path: readonly PathPoint[], atMs: number): number {
  const next = path.findIndex((point) => point.atMs > atMs);
  if (next < 0) return path.at(-1)?.cents ?? 0;
  const [from, to] = [path[Math.max(0, next - 1)], path[next]];
  if (to.atMs === from.atMs) return from.cents;
  return from.cents + ((to.cents - from.cents) * (atMs - from.atMs)) / (to.atMs - from.atMs);
}

/** Strikes move the offset at once, whenever that was entered. */
function toMove({ atMs, untilMs, cause, cents }: Extract<LedgerEntry, { kind: 'offset' }>): Move {
  const fromMs = Math.max(0, atMs);
  return { fromMs, untilMs: cause === 'pull' ? untilMs : fromMs, cents };
}

/** Two points for each time at which a move begins or ends: before it and after it. */
function toPath(moves: readonly Move[]): PathPoint[] {
  const sorted = moves.toSorted((a, b) => a.fromMs - b.fromMs);
  const times = [...new Set(moves.flatMap(({ fromMs, untilMs }) => [fromMs, untilMs]))].sort((a, b) => a - b);
  const path: PathPoint[] = [{ atMs: 0, cents: 0 }];
  let running: Move[] = [];
  let [next, done] = [0, 0];
  const push = (atMs: number) => {
    const share = ({ fromMs, untilMs, cents }: Move) => (cents * (atMs - fromMs)) / (untilMs - fromMs);
    path.push({ atMs, cents: running.reduce((sum, move) => sum + share(move), done) });
  };
  for (const atMs of times) {
    push(atMs);
    for (; next < sorted.length && sorted[next].fromMs <= atMs; next++) running.push(sorted[next]);
    for (const { untilMs, cents } of running) if (untilMs <= atMs) done += cents;
    running = running.filter(({ untilMs }) => untilMs > atMs);
    push(atMs);
  }
  return path;
}
