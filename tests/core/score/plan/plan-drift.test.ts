import { expect, test } from 'vitest';
import { toPlanDrift } from '../../../../src/core/score/plan/plan-drift.js';
import { formatRatio, type PrimeVector, ratio } from '../../../../src/core/theory/index.js';
import { createTuner, step, type TunerOut, toDrift, toSettings } from '../../../../src/core/tuner/index.js';
import { pose, type SmallNote, smallPieces, toChords } from '../../../support/planning.js';
import { amongAll, forAll } from '../../../support/properties.js';

const SETTINGS = toSettings({ strategy: 'free' });
const SILENT: TunerOut = { start() {}, retune() {}, release() {}, end() {}, enter() {} };

/** The drift of a piece as the live rule plays it. */
function playedDrift(notes: readonly SmallNote[]): PrimeVector {
  const tuner = createTuner(SETTINGS);
  const events = notes.flatMap(({ onMs, offMs, key }) => [
    { kind: 'note-on', atMs: onMs, part: 0, key } as const,
    { kind: 'note-off', atMs: offMs, part: 0, key } as const,
  ]);
  // Of one time, what ends comes first.
  events.sort((a, b) => a.atMs - b.atMs || Number(a.kind === 'note-on') - Number(b.kind === 'note-on'));
  for (const event of events) step(tuner, event, SILENT);
  step(tuner, { kind: 'time', atMs: 1e6 }, SILENT);
  return toDrift(tuner).commas;
}

test('the drift of a plan is that of the tuner for the same points', () => {
  let drifting = 0;
  forAll([smallPieces(30)], (notes) => {
    const { problem, live } = pose(notes, SETTINGS);
    const played = formatRatio(playedDrift(notes));
    expect(formatRatio(toPlanDrift(problem, live).commas)).toBe(played);
    if (played !== '1/1') drifting += 1;
  });
  expect(drifting).toBeGreaterThan(amongAll(0));
});

test('the drift of a plan counts a comma a pass of a tied pump, and none of a piece without notes', () => {
  const pump = ['C3 E4 G4 C5', 'A2 E4 A4 C5', 'D3 F4 A4 D5', 'G2 G4 B4 D5'];
  const { problem, live } = pose(toChords([...pump, ...pump, pump[0]], true, 4000), SETTINGS);
  const { commas, references } = toPlanDrift(problem, live);
  expect(formatRatio(commas)).toBe('6400/6561');
  expect(references[11]!.slice(1)).toEqual(ratio('15/8').slice(1));
  expect(formatRatio(toPlanDrift({ strikes: [], slots: [] }, []).commas)).toBe('1/1');
});
