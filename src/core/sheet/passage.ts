import type { Origin } from '../theory/index.js';
import { type PassageSource, type SheetColumn, toColumns } from './columns.js';
import { type Found, toFound } from './found.js';

/** A passage of a sheet. */
export interface Passage {
  /** At least one. */
  readonly columns: readonly SheetColumn[];
  readonly found: Found;
  readonly origin: Origin;
  readonly hasLeaning: boolean;
}

/** A passage as a lecture sheet shows it: columns of notes, the reason of each, and the comma at the end. */
export function toPassage(source: PassageSource): Passage {
  const { origin, hasLeaning } = source;
  const columns = toColumns(source);
  return { columns, found: toFound(columns, origin), origin, hasLeaning };
}
