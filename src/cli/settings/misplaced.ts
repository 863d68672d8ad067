import type { Table, Values } from '../../core/settings/index.js';

/** The given keys that need other values of another setting. `value` undefined: it is unreadable. */
export function findMisplaced<T extends Table>(table: T, values: Values<T>, value: string | undefined) {
  return Object.entries(table).flatMap(([key, { only }]) =>
    value !== undefined && only?.is.includes(value) === false && Object.hasOwn(values, key)
      ? [{ key, only }]
      : [],
  );
}
