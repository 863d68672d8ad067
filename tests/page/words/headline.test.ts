import { expect, test } from 'vitest';
import { toReportedSettings } from '../../../src/core/settings/index.js';
import { DEFAULT_SETTINGS } from '../../../src/core/tuner/index.js';
import { describeSounding, toHeadline } from '../../../src/page/words/headline.js';
import { keysOf } from '../../support/play.js';
import { Trio } from '../../support/trio.js';

test('toHeadline invites to play before the first note', () => {
  expect(toHeadline(undefined)).toBe('Play something, or start a piece.');
  expect(toHeadline(new Trio().frame())).toBe('Play something, or start a piece.');
});

test('toHeadline says where the strategy is, and after how many passes', () => {
  const frame = new Trio().chord(keysOf('C4 E4 G4')).frame();
  expect(toHeadline(frame)).toBe('Free is at home; anchored is at home.');
  const playing = {
    name: 'a',
    title: 'A',
    tempo: 1,
    loop: true,
    pass: { n: 3, atMs: 0 },
    positionMs: 0,
    lengthMs: 1,
  };
  const drift = { ...frame.drift, free: { ...frame.drift.free, cents: -43.01 } };
  expect(toHeadline({ ...frame, playing, drift })).toBe(
    'Free is 43.0 c below home after 2 passes; anchored is at home.',
  );
});

test('the top line says what sounds', () => {
  const fact = {
    ...toReportedSettings(DEFAULT_SETTINGS),
    leewayCents: { pull: 2, anchored: 8 },
    bypass: false,
    inputs: [],
    outputs: [],
    addresses: [],
  };
  expect(describeSounding(fact)).toBe('anchored within 8 c of home');
  expect(describeSounding({ ...fact, strategy: 'pull' })).toBe(
    'pulled at 3 c a second to within 2 c of home',
  );
  expect(describeSounding({ ...fact, strategy: 'free' })).toBe('free: the pitch may drift');
  expect(describeSounding({ ...fact, recallCents: 12 })).toBe('anchored within 8 c of home; recall 12 c');
  expect(describeSounding({ ...fact, bypass: true })).toBe('12 equal: Leeway stands aside');
});
