import { expect, test } from 'vitest';
import { Line } from '../../../src/core/line/index.js';
import { playPart } from '../../../src/core/score/index.js';
import { createTuner, toSettings } from '../../../src/core/tuner/index.js';

test('a part plays through the line, and one that cannot be tuned is heard at its own pitch', () => {
  const started: string[] = [];
  const line = new Line(createTuner(toSettings({})), () => [], {
    start: (_, { part, key }, cents) => started.push(`${part} ${key} ${cents.toFixed(1)}`),
  });
  const fixedCents = [0, 0, 0, 0, 0, 0, 0, 12, 0, 0, 0, 0];
  playPart(line, { index: 4, track: 1, channel: 0, role: 'fixed', fixedCents }, 0, 0x90, 55, 80, 0);
  playPart(line, { index: 5, track: 2, channel: 0, role: 'tuned' }, 0, 0x90, 62, 80, 0);
  expect(started).toEqual(['4 55 5512.0', '5 62 6214.0']);
  playPart(line, { index: 4, track: 1, channel: 0, role: 'fixed', fixedCents }, 10, 0x80, 55, 64, 0);
  expect(line.tuner.notes.map(({ part }) => part)).toEqual([5]);
  expect(line.tuner.fixed.size).toBe(0);
});
