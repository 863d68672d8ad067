import type { HeardNote } from '../heard/heard-chord.js';

/** The name of a chord, such as "D minor over F"; empty for one without a name. */
export function nameChord(_notes: readonly HeardNote[]): string {
  return '';
}
