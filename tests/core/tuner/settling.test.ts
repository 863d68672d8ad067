import { describe, expect, test } from 'vitest';
import { equal, formatRatio, type PrimeVector } from '../../../src/core/theory/index.js';
import {
  createTuner,
  LEAVING_MS,
  step,
  type TunerEvent,
  type TunerSettings,
} from '../../../src/core/tuner/index.js';
import { Playing, Telling } from '../../support/play.js';
import { forAll } from '../../support/properties.js';
import { playing, settings } from '../../support/random-playing.js';

/** Plays events and gives every note's lattice points and told pitches after it settled. */
function play(chosen: TunerSettings, events: readonly TunerEvent[]) {
  const tuner = createTuner(chosen);
  const points = new Map<number, PrimeVector>();
  const movesAfterSettling: string[] = [];
  const telling = new (class extends Telling {
    override retune(...[atMs, note, cents]: Parameters<Telling['retune']>): void {
      // What is placed again glides there; that is over soon after it was struck, if no other strike has its glide begin again.
      const softMs = note.struckMs + LEAVING_MS + Math.max(60, chosen.glideMs) + 2 * chosen.tickMs + 1000;
      if (note.settled && atMs > softMs) movesAfterSettling.push(`key ${note.key} to ${cents} at ${atMs}`);
    }
  })();
  const changed: string[] = [];
  for (const event of events) {
    step(tuner, event, telling);
    for (const note of tuner.notes) {
      if (!note.settled) continue;
      const before = points.get(note.id) ?? note.point;
      points.set(note.id, before);
      if (!equal(before, note.point)) changed.push(`${formatRatio(before)} → ${formatRatio(note.point)}`);
    }
  }
  return { points, changed, movesAfterSettling };
}

describe('settling a note', () => {
  test('fixes the lattice point for as long as the note sounds, whatever is played', () => {
    forAll([settings(), playing()], 200, (chosen, events) => {
      expect(play(chosen, events).changed).toEqual([]);
    });
  });

  test('under free never moves it, except where it glides to as its strike was placed again', () => {
    forAll([settings({ strategy: 'free', leewayCents: Infinity }), playing()], 200, (chosen, events) => {
      expect(play(chosen, events).movesAfterSettling).toEqual([]);
    });
  });

  test('never moves it with held notes that stay, in any strategy', () => {
    forAll([settings({ held: 'stay' }), playing()], 200, (chosen, events) => {
      expect(play(chosen, events).movesAfterSettling).toEqual([]);
    });
  });

  test('happens when the strike window is over, not before', () => {
    const music = new Playing().strike([60]).wait(29.9);
    expect(music.note(60).settled).toBe(false);
    expect(music.wait(0.1).note(60).settled).toBe(true);
  });

  test('is when later notes can no longer revise the choice', () => {
    // C and G♯ alone are 5:8; with E between them one of the thirds must give.
    const joined = new Playing({ strategy: 'free' }).strike([60, 64]).wait(20).strike([63, 67]).wait(400);
    const together = new Playing({ strategy: 'free' }).strike([60, 63, 64, 67]).wait(400);
    expect(joined.proportion()).toBe(together.proportion());
    const apart = new Playing({ strategy: 'free' }).strike([60, 64]).wait(40);
    const before = [apart.point(60), apart.point(64)];
    apart.strike([63, 67]).wait(400);
    expect([apart.point(60), apart.point(64)]).toEqual(before);
  });
});
