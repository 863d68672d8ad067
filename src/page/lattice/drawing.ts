import {
  findBonds,
  findPlane,
  findSails,
  gridWithin,
  type LatticeKey,
  type Place,
  toLatticeKey,
  toPlace,
  uniqueKeys,
  type Window,
} from '../../core/drawing/index.js';
import type { RecalledFact } from '../../core/protocol/index.js';
import { noteName, type Origin, type PrimeVector } from '../../core/theory/index.js';

/** A point of the drawn lattice. */
export interface Dot extends Place {
  readonly id: string;
  readonly name: string;
  readonly state: 'sounding' | 'recalled' | 'silent';
  /** 0 to 1: the memory's weight of a recalled point. */
  readonly weight: number;
  readonly isOrigin: boolean;
}

/** A drawing of the lattice in steps. */
export interface LatticeDrawing {
  readonly dots: readonly Dot[];
  readonly sails: readonly {
    readonly id: string;
    readonly corners: readonly Place[];
    readonly kind: 'major' | 'minor';
  }[];
  readonly bonds: readonly { readonly id: string; readonly from: Place; readonly to: Place }[];
  /** Lines of pure fifths behind it, one a row. */
  readonly rows: readonly { readonly y: number; readonly name: string }[];
  /** Centres of the last chords, oldest first; `age` is 0 for the last and goes to 1. */
  readonly path: readonly (Place & { readonly age: number })[];
  /** At the edge, towards the origin when that is out of sight. */
  readonly pointer: (Place & { readonly angle: number }) | undefined;
}

const ORIGIN: LatticeKey = [0, 0, 0];
/** Steps drawn beyond the edges: the view moves slowly, and shows them on its way. */
const BEYOND = 1;
/** The size of the pointer to the origin, in steps either way. */
const POINTER_HALF = { x: 0.7, y: 0.5 };
/** How many chords the path shows. */
const PATH_LENGTH = 32;

/**
 * Draws the lattice within `window`.
 *
 * @param points   where the sounding notes are
 * @param recalledFacts what is remembered
 * @param origin   the name of 1/1
 * @param centres  mean places of the chords struck so far, oldest first
 */
export function drawLattice(
  points: readonly PrimeVector[],
  recalledFacts: readonly RecalledFact[],
  origin: Origin,
  centres: readonly LatticeKey[],
  window: Window,
): LatticeDrawing {
  const sounding = uniqueKeys(points.map(toLatticeKey));
  const recalled = new Map(recalledFacts.map((fact) => [String(toLatticeKey(fact.point)), fact.weight]));
  const soundingIds = new Set(sounding.map(String));
  const recalledKeys = recalledFacts.map((fact) => toLatticeKey(fact.point));
  // In a rest the plane of the remembered points.
  const plane = findPlane(sounding.length > 0 ? sounding : recalledKeys);
  const drawn = {
    ...window,
    halfWidth: window.halfWidth + BEYOND,
    halfHeight: window.halfHeight + BEYOND,
  };
  const pointer = toPointer(window);
  const keys = uniqueKeys([...gridWithin(drawn, plane), ...recalledKeys, ...sounding]).filter(
    (key) =>
      soundingIds.has(String(key)) ||
      (isWithin(toPlace(key), drawn) && !(pointer !== undefined && isCovered(toPlace(key), pointer))),
  );
  const dots = keys.map((key): Dot => {
    const id = String(key);
    const state = soundingIds.has(id) ? 'sounding' : recalled.has(id) ? 'recalled' : 'silent';
    const name = noteName([0, key[0], key[1], key[2], 0, 0], origin);
    const isOrigin = id === String(ORIGIN);
    return { id, ...toPlace(key), name, state, weight: recalled.get(id) ?? 0, isOrigin };
  });
  const recent = centres.slice(-PATH_LENGTH);
  return {
    dots,
    sails: findSails(sounding).map(({ corners, kind }) => ({
      id: corners.join(' '),
      corners: corners.map(toPlace),
      kind,
    })),
    bonds: findBonds(sounding).map(([a, b]) => ({ id: `${a} ${b}`, from: toPlace(a), to: toPlace(b) })),
    rows: toRows(drawn, plane),
    path: recent.map((centre, i) => ({ ...toPlace(centre), age: 1 - (i + 1) / recent.length })),
    pointer,
  };
}

function toRows(window: Window, plane: number): LatticeDrawing['rows'] {
  const rows = new Map<number, number>();
  for (const key of gridWithin(window, plane)) rows.set(key[1], toPlace(key).y);
  return [...rows].map(([fives, y]) => ({
    y,
    name: fives === 0 ? '0' : `${fives < 0 ? '+' : '−'}${Math.abs(fives)}`,
  }));
}

function isWithin({ x, y }: Place, { centre, halfWidth, halfHeight }: Window): boolean {
  return Math.abs(x - centre.x) <= halfWidth && Math.abs(y - centre.y) <= halfHeight;
}

function isCovered({ x, y }: Place, pointer: Place): boolean {
  return Math.abs(x - pointer.x) < POINTER_HALF.x && Math.abs(y - pointer.y) < POINTER_HALF.y;
}

function toPointer(window: Window): LatticeDrawing['pointer'] {
  const { centre, halfWidth, halfHeight } = window;
  const origin = toPlace(ORIGIN);
  if (isWithin(origin, window)) return undefined;
  const [dx, dy] = [origin.x - centre.x, origin.y - centre.y];
  const reach = Math.min((halfWidth - 0.5) / Math.abs(dx || 1e-9), (halfHeight - 0.4) / Math.abs(dy || 1e-9));
  return { x: centre.x + dx * reach, y: centre.y + dy * reach, angle: (Math.atan2(dy, dx) * 180) / Math.PI };
}
