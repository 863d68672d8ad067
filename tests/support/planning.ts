import fc from 'fast-check';
import type { Track } from '../../src/core/midi/index.js';
import { toPartsByTrack } from '../../src/core/score/index.js';
import type { PlanPath, PlanProblem } from '../../src/core/score/plan/problem.js';
import { rehearse } from '../../src/core/score/plan/rehearse.js';
import { toLivePath, toProblem } from '../../src/core/score/plan/to-problem.js';
import type { TunerSettings } from '../../src/core/tuner/index.js';
import { keysOf } from './play.js';

/** A note of a small piece, in milliseconds. */
export interface SmallNote {
  readonly onMs: number;
  readonly offMs: number;
  readonly key: number;
}

/** One track, a tick a millisecond. */
export function toTracks(notes: readonly SmallNote[]): Track[] {
  const message = (tick: number, status: number, data1: number) =>
    ({ kind: 'channel', tick, status, data1, data2: 64 }) as const;
  const events = notes.flatMap(({ onMs, offMs, key }) => [
    message(onMs, 0x90, key),
    message(offMs, 0x80, key),
  ]);
  // Of one tick, what ends comes first.
  return [{ kind: 'track', events: events.sort((a, b) => a.tick - b.tick || a.status - b.status) }];
}

/** A small piece as a question, and what the live rule makes of it. */
export function pose(
  notes: readonly SmallNote[],
  settings: TunerSettings,
): { problem: PlanProblem; live: PlanPath } {
  const tracks = toTracks(notes);
  const heard = rehearse(tracks, toPartsByTrack(tracks), (tick) => tick, settings);
  const problem = toProblem(heard);
  return { problem, live: toLivePath(heard, problem) };
}

/** Chords of a second each; keys two neighbours share are tied, unless all is struck anew. */
export function toChords(chords: readonly string[], tied = true, chordMs = 1000): SmallNote[] {
  const notes: { onMs: number; offMs: number; key: number }[] = [];
  let before: typeof notes = [];
  chords.forEach((names, i) => {
    const now = keysOf(names).map((key) => {
      const held = tied ? before.find((note) => note.key === key) : undefined;
      if (held === undefined) {
        const note = { onMs: i * chordMs, offMs: (i + 1) * chordMs, key };
        notes.push(note);
        return note;
      }
      held.offMs = (i + 1) * chordMs;
      return held;
    });
    before = now;
  });
  return notes;
}

/** Small random pieces: up to so many notes, within two octaves, some struck together, some tied over others. */
export function smallPieces(most: number): fc.Arbitrary<SmallNote[]> {
  return fc
    .array(
      fc.record({
        at: fc.integer({ min: 0, max: 5 }),
        length: fc.integer({ min: 1, max: 4 }),
        key: fc.integer({ min: 55, max: 76 }),
      }),
      { minLength: 1, maxLength: most },
    )
    .map((raw) => {
      const notes = raw.map(({ at, length, key }) => ({ onMs: 400 * at, offMs: 400 * (at + length), key }));
      // A key can't be struck while it is down.
      return notes.filter((note, i) =>
        notes.every(
          (other, j) =>
            j >= i || other.key !== note.key || other.offMs <= note.onMs || note.offMs <= other.onMs,
        ),
      );
    });
}
