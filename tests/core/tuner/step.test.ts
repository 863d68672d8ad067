import { describe, expect, test } from 'vitest';
import { createTuner, step, type TunerEvent, type TunerSettings } from '../../../src/core/tuner/index.js';
import { Playing, Telling } from '../../support/play.js';
import { forAll } from '../../support/properties.js';
import { playing, settings } from '../../support/random-playing.js';

function tell(chosen: TunerSettings, events: readonly TunerEvent[]): Telling {
  const tuner = createTuner(chosen);
  const telling = new Telling();
  for (const event of events) step(tuner, event, telling);
  return telling;
}

describe('step', () => {
  test('is deterministic: the same events at the same times give the same decisions and entries', () => {
    forAll([settings(), playing()], (chosen, events) => {
      expect(tell(chosen, events)).toEqual(tell(chosen, events));
    });
  });

  test('does not change its settings and events', () => {
    forAll([settings(), playing()], 30, (chosen, events) => {
      const before = JSON.stringify([chosen, events]);
      tell(chosen, events);
      expect(JSON.stringify([chosen, events])).toBe(before);
    });
  });

  test('leaves two tuners independent of each other', () => {
    forAll([settings(), playing(20), playing(20)], 50, (chosen, events, others) => {
      const tuner = createTuner(chosen);
      const other = createTuner(chosen);
      const telling = new Telling();
      events.forEach((event, i) => {
        step(tuner, event, telling);
        if (i < others.length) step(other, others[i], new Telling());
      });
      expect(telling).toEqual(tell(chosen, events));
    });
  });

  test.each<[string, TunerEvent]>([
    ['a note-off without its note', { kind: 'note-off', atMs: 50, part: 0, key: 61 }],
    ['a note-off of another part', { kind: 'note-off', atMs: 50, part: 1, key: 60 }],
    ['a pedal that is up already', { kind: 'pedal', atMs: 50, part: 0, pedal: 'sustain', down: false }],
    ['keys-up of a part that never played', { kind: 'keys-up', atMs: 50, part: 7 }],
    ['silence of a part that never played', { kind: 'silence', atMs: 50, part: 7 }],
  ])('%s changes nothing', (_name, event) => {
    const music = new Playing().strike([60]).wait(40);
    const { told } = music.telling;
    const before = [...told];
    step(music.tuner, event, music.telling);
    expect(told).toEqual(before);
    expect(music.tuner.notes.map(({ key, keyDown }) => [key, keyDown])).toEqual([[60, true]]);
  });

  test('takes an earlier time for the latest one seen', () => {
    const music = new Playing().strike([60]).wait(100);
    step(music.tuner, { kind: 'note-on', atMs: 20, part: 0, key: 64 }, music.telling);
    expect(music.note(64).struckMs).toBe(100);
    expect(music.tuner.nowMs).toBe(100);
  });

  test('reports times that never decrease', () => {
    forAll([settings(), playing()], (chosen, events) => {
      let latest = -Infinity;
      for (const { atMs } of tell(chosen, events).told) {
        if (!(atMs >= latest)) expect(atMs).toBeGreaterThanOrEqual(latest);
        latest = atMs;
      }
    });
  });
});
