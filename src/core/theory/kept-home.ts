import type { Home } from './homes.js';
import type { Tonic } from './tonic.js';
import type { PrimeVector } from './vector.js';

/** A home scale as plain data, for another thread or a file. Twelve steps, from C up. */
export interface KeptHome {
  readonly kind: Home['kind'];
  readonly tonic: Tonic;
  readonly deviationCents: readonly number[];
  readonly points: readonly PrimeVector[];
}

const KEY_CLASSES = Array.from({ length: 12 }, (_, keyClass) => keyClass);

/** @example toKeptHome(justOnC).deviationCents[4]  // -13.686 */
export function toKeptHome(home: Home): KeptHome {
  return {
    kind: home.kind,
    tonic: { ...home.tonic },
    deviationCents: KEY_CLASSES.map(home.deviationCents),
    points: KEY_CLASSES.map(home.point),
  };
}

/** The scale that was kept, the same in every answer. */
export function fromKeptHome({ kind, tonic, deviationCents, points }: KeptHome): Home {
  return Object.freeze({
    kind,
    tonic: Object.freeze({ ...tonic }),
    deviationCents: (keyClass: number) => deviationCents[keyClass],
    point: (keyClass: number) => points[keyClass],
  });
}
