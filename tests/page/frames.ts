import type { EntryFact, Frame, Tuning } from '../../src/core/protocol/index.js';
import { type HeardNote, toHeardNotes } from '../../src/page/heard/heard-chord.js';
import { keysOf } from '../support/play.js';
import { Trio } from '../support/trio.js';

/** A frame in which some keys sound, a while after they were struck. */
export function frameOf(keys: string, holdMs = 500): Frame {
  return new Trio().chord(keysOf(keys), [], holdMs).frame();
}

/** The notes of such a frame as they are heard. */
export function heardOf(keys: string, heard: Tuning = 'anchored'): HeardNote[] {
  return toHeardNotes(frameOf(keys).notes, heard, 'anchored', { fifths: 0 });
}

/** A return in the ledger. */
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
