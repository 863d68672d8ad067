import { describe, expect, it } from 'vitest';
import { DEFAULT_PLAN, planWhole, toPartsByTrack } from '../../../../src/core/score/index.js';
import type { RehearsedNote } from '../../../../src/core/score/plan/rehearse.js';
import { toHeldUntil } from '../../../../src/core/score/plan/to-problem.js';
import { toSettings } from '../../../../src/core/tuner/index.js';
import { type SmallNote, toChords, toTracks } from '../../../support/planning.js';

/** A note that lasts so long, struck so long before a second strike, whose notes last half a second. */
function toUntil(beforeMs: number, lengthMs: number): number {
  const [struckMs, endedMs] = [1000 - beforeMs, 1000 - beforeMs + lengthMs];
  const note = { note: { struckMs, releasedMs: endedMs }, strike: 0, endedMs, until: 2 } as RehearsedNote;
  return toHeldUntil(note, { strikesMs: [struckMs, 1000] }, Float64Array.of(lengthMs, 500));
}

describe('the first strike into which a note isn’t held', () => {
  it.each<[string, number, number, number]>([
    ['is late to end', 1000, 1140, 1],
    ['is tied', 1000, 1500, 2],
    ['is a short one of a line of its own', 100, 150, 2],
  ])('of one that %s', (_, beforeMs, lengthMs, until) => {
    expect(toUntil(beforeMs, lengthMs)).toBe(until);
  });

  it('of one that sounds as long as the new ones is the next', () => {
    const note = {
      note: { struckMs: 0, releasedMs: 1090 },
      strike: 0,
      endedMs: 1090,
      until: 2,
    } as RehearsedNote;
    expect(toHeldUntil(note, { strikesMs: [0, 1000] }, Float64Array.of(1090, 100))).toBe(2);
  });
});

describe('a plan of what is played legato', () => {
  const chords = toChords(['C4 E4 G4', 'C4 F4 A4', 'D4 F4 A4', 'D4 G4 B4', 'C4 E4 G4', 'C4 F4 A4'], false);
  const late = chords.map((note, i) => ({ ...note, offMs: note.offMs + 40 + ((7 * i) % 41) }));
  // A key comes up before it is struck again.
  const legato = late.map((note) => {
    const next = late.find(({ key, onMs }) => key === note.key && onMs > note.onMs)?.onMs ?? Infinity;
    return { ...note, offMs: Math.min(note.offMs, next - 15) };
  });
  const plan = (notes: readonly SmallNote[], strategy: 'free' | 'anchored') => {
    const tracks = toTracks(notes);
    const settings = toSettings({ strategy });
    return planWhole(tracks, toPartsByTrack(tracks), (tick) => tick, settings, DEFAULT_PLAN).guide;
  };

  it.each(['free', 'anchored'] as const)(
    'has every note where it would be if keys came up in time: %s',
    (strategy) => {
      const [clean, played] = [plan(chords, strategy), plan(legato, strategy)];
      for (const id of chords.keys()) {
        // Octaves left out.
        expect(played.frameOf(id)?.slice(1)).toEqual(clean.frameOf(id)?.slice(1));
        const [a, b] = [played.offsetOf(id, 0), clean.offsetOf(id, 0)];
        if (b === undefined) expect(a).toBe(b);
        else expect(a).toBeCloseTo(b, 0);
      }
    },
  );

  it('knows which notes are about to end', () => {
    const guide = plan(legato, 'anchored');
    for (const id of [0, 1, 2]) expect(guide.isLeaving(id, 3)).toBe(true);
    const tied = plan(toChords(['C4 E4 G4', 'C4 F4 A4']), 'anchored');
    expect([0, 1, 2].map((id) => tied.isLeaving(id, 3))).toEqual([false, true, true]);
  });
});
