import { fileURLToPath } from 'node:url';
import { parseMidi } from 'midi-file';
import { describe, expect, test } from 'vitest';
import { retune } from '../../../src/app/retune.js';
import { formatMidiFile, type MidiFile, parseMidiFile, toTempoMap } from '../../../src/core/midi/index.js';
import { DEFAULT_PLAN, type Planning } from '../../../src/core/score/index.js';
import { type TunerSettings, toSettings } from '../../../src/core/tuner/index.js';
import type { Performance } from '../../bench/corpus/heard.js';
import { addPerformance, createTally, type Figures, toFigures } from '../../bench/corpus/measure.js';
import { type Piece, readCorpora } from '../../bench/corpus/pieces.js';
import { anchorPlainly } from '../../bench/corpus/plain-anchor.js';
import { BETTER_PLAIN_RULE, PLAIN_RULE, performPlainly } from '../../bench/corpus/plain-rule.js';
import { measureRetuned } from '../../bench/corpus/retuned.js';

const [{ pieces }] = readCorpora(fileURLToPath(new URL('../../corpus/', import.meta.url)));

function read(piece: Piece): MidiFile {
  const outcome = parseMidiFile(piece.bytes);
  if (!outcome.ok) throw new Error(outcome.problem.message);
  return outcome.value.file;
}

function measure(settings: TunerSettings, plan: Planning = 'live'): Figures {
  return measureRetuned(pieces, settings, plan);
}

function measurePlain(rule = BETTER_PLAIN_RULE, anchor = (played: Performance) => played): Figures {
  const tally = createTally();
  for (const piece of pieces) {
    const { performance, placeOf } = performPlainly(piece, rule, toTempoMap(read(piece)).toMs(480) / 1000);
    addPerformance(tally, anchor(performance), placeOf);
  }
  return toFigures(tally);
}

// Chorales of DCMLab/bach_chorales, CC0-1.0, with their written spelling; measured from the retuned files.
describe('six chorales', () => {
  test('are purer than under the plain rule, shifts counted in, and are spelled as written', () => {
    const ours = measure(toSettings({ strategy: 'free' }));
    const plain = measurePlain();
    expect(ours.worth).toBeGreaterThan(plain.worth);
    expect(ours.pure).toBeGreaterThan(99.4);
    expect(ours.spelled).toBeGreaterThan(98.5);
  });

  test('shift less when planned as a whole, at no less purity', () => {
    const free = toSettings({ strategy: 'free' });
    const live = measure(free);
    const planned = measure(free, DEFAULT_PLAN);
    expect(planned.pure).toBeGreaterThanOrEqual(live.pure);
    // Both take every pure place there is, so what is left is small: 16.9 and 18.9 %.
    expect(planned.shifted).toBeLessThan(0.93 * live.shifted);
    const anchored = measure(toSettings({}));
    const spread = measure(toSettings({}), DEFAULT_PLAN);
    expect(spread.shifted).toBeLessThan(anchored.shifted);
    expect(spread.shiftRms).toBeLessThan(anchored.shiftRms);
    expect(spread.movedRms).toBeLessThan(anchored.movedRms);
  });

  test.each([0, 4, 8, 12])(
    'are far purer anchored within %i cents than under the plain rule, with at most half as much movement again',
    (leewayCents) => {
      // The plain anchor moves at once, so ours is given no glide either: during one nothing is quite pure.
      const ours = measure(toSettings({ strategy: 'anchored', leewayCents, glideMs: 0 }));
      const plain = measurePlain(PLAIN_RULE, (played) => anchorPlainly(played, leewayCents));
      expect(ours.pure).toBeGreaterThan(plain.pure + 3.5);
      expect(ours.pure).toBeGreaterThan(99.4);
      // Pure chords walk farther: the plain rule's wolves are what it doesn't pay.
      expect(ours.movedRms).toBeLessThan(1.5 * plain.movedRms);
    },
  );

  test.each(['free', 'pull', 'anchored'] as const)(
    'cost no more planned than played live under %s',
    (strategy) => {
      for (const piece of pieces) {
        for (const end of ['open', 'home'] as const) {
          const { sequences } = retune(read(piece), {
            settings: toSettings({ strategy }),
            outlet: { kind: 'mpe', bendRange: 48 },
            plan: { end, smoothSeconds: 10 },
          });
          const [{ plan, line }] = sequences;
          const { cost, liveCost } = plan?.ratios ?? { cost: Number.NaN, liveCost: Number.NaN };
          if (end === 'open') expect(cost).toBeLessThanOrEqual(liveCost + 1e-9);
          expect(line.tuner.ledger.movedCents).toBeCloseTo(line.tuner.offset.cents, 6);
        }
      }
    },
  );

  test.each([0, 4, 8, 12])('are within a leeway of %i cents, and half a step of the bend', (leewayCents) => {
    const halfStep = (100 * 48) / 8192 / 2;
    const { farthest, homeRms } = measure(toSettings({ strategy: 'anchored', leewayCents }));
    expect(farthest).toBeLessThanOrEqual(leewayCents + halfStep);
    expect(homeRms).toBeLessThanOrEqual(farthest);
  });

  test('keep every note of every track, as an independent reader sees it', () => {
    for (const piece of pieces) {
      const before = parseMidi(piece.bytes);
      const { file } = retune(read(piece), {
        settings: toSettings({}),
        outlet: { kind: 'mpe', bendRange: 48 },
        plan: DEFAULT_PLAN,
      });
      const after = parseMidi(formatMidiFile(file));
      expect(after.tracks.map(countNotes)).toEqual(before.tracks.map(countNotes));
    }
  });
});

function countNotes(events: ReturnType<typeof parseMidi>['tracks'][number]): number {
  return events.filter((event) => event.type === 'noteOn').length;
}
