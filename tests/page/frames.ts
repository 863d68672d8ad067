import type { EntryFact, Frame } from '../../src/core/protocol/index.js';
import { keysOf } from '../support/play.js';
import { Trio } from '../support/trio.js';

/** A frame in which some keys sound, a while after they were struck. */
export function frameOf(keys: string, holdMs = 500): Frame {
  return new Trio().chord(keysOf(keys), [], holdMs).frame();
}

/** A return in the books. */
export function returnOf(changes: Partial<EntryFact> = {}): EntryFact {
  return {
    n: 1,
    strategy: 'free',
    atMs: 1000,
    pass: 1,
    kind: 'return',
    key: 62,
    name: 'D4⁻¹',
    ratio: '80/81',
    comma: '−1 syntonic comma',
    cents: -21.506,
    was: '9/8',
    now: '10/9',
    ...changes,
  } as EntryFact;
}
