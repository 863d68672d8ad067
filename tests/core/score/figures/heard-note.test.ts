import { expect, test } from 'vitest';
import { PieceRecorder, toEqual } from '../../../../src/core/score/figures/index.js';
import { createTuner, step, toSettings } from '../../../../src/core/tuner/index.js';
import { numbers } from '../../../support/numbers.js';

test('heard notes are those struck, glided and ended; a pitch revised at once was never heard', () => {
  const tuner = createTuner(toSettings({ strategy: 'anchored', leewayCents: 0, glideMs: 60 }));
  const recorder = new PieceRecorder();
  const out = {
    start: recorder.start.bind(recorder),
    retune: recorder.retune.bind(recorder),
    end: recorder.end.bind(recorder),
    release() {},
    enter: recorder.enter.bind(recorder),
  };
  const key = (kind: 'note-on' | 'note-off', atMs: number, key: number) =>
    step(tuner, { kind, atMs, part: 1, key }, out);
  for (const one of [60, 64, 67]) key('note-on', 0, one);
  key('note-off', 1000, 64);
  key('note-off', 1000, 67);
  for (const one of [65, 69]) key('note-on', 1000, one);
  for (const one of [60, 65, 69]) key('note-off', 2000, one);

  const notes = recorder.toNotes();
  expect(notes.map(({ key, onMs, offMs }) => [key, onMs, offMs])).toEqual(
    numbers('60 0 2000, 64 0 1000, 67 0 1000, 65 1000 2000, 69 1000 2000'),
  );
  const [c, e] = notes;
  expect(e.pitch).toHaveLength(1);
  // C was the root of its chord and becomes the fifth: it glides from +3.91 to +5.87 within 60 ms.
  expect(c.pitch[0].cents).toBeCloseTo(6003.91, 2);
  expect(c.pitch.at(-1)?.cents).toBeCloseTo(6005.865, 2);
  expect(c.pitch.at(-1)?.atMs).toBeLessThanOrEqual(1070);
  expect(c.pitch.length).toBeGreaterThan(3);
});

test('in 12 equal a fixed note keeps its pitch, and all others have that of their keys', () => {
  const note = (key: number, isFixed: boolean) => ({
    key,
    part: 0,
    isFixed,
    onMs: 0,
    offMs: 1,
    pitch: [{ atMs: 0, cents: 100 * key - 14 }],
  });
  const equal = toEqual([note(48, true), note(64, false)], 5);
  expect(equal.map(({ pitch }) => pitch[0].cents)).toEqual([4786, 6405]);
});

test('heard notes leave out a note whose beginning is missing', () => {
  const tuner = createTuner(toSettings({}));
  const out = { start() {}, retune() {}, release() {}, end() {}, enter() {} };
  step(tuner, { kind: 'note-on', atMs: 0, part: 0, key: 60 }, out);
  const [late] = tuner.notes;
  const recorder = new PieceRecorder();
  recorder.retune(10, late, 6001);
  recorder.end(20, late);
  expect(recorder.toNotes()).toEqual([]);
});
