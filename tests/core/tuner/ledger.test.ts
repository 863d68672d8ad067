import { describe, expect, test } from 'vitest';
import { formatRatio, UNISON } from '../../../src/core/theory/index.js';
import { DEFAULT_WEIGHTS, toReturned } from '../../../src/core/tuner/index.js';
import { Auditor } from '../../support/auditor.js';
import { keysOf, Playing } from '../../support/play.js';
import { forAll } from '../../support/properties.js';
import { endOf, letGo, playing, settings } from '../../support/random-playing.js';

test('the ledger balances, whatever is played: drift, pitch and offset are those of the notes at all times', () => {
  forAll([settings(), playing()], 150, (chosen, events) => {
    const auditor = new Auditor(chosen);
    auditor.play([...events, ...letGo(endOf(events) + 7)]);
  });
});

test('the entries multiply and add up to the drift and the offset in the end', () => {
  forAll([settings(), playing()], 150, (chosen, events) => {
    const auditor = new Auditor(chosen);
    auditor.play([...events, ...letGo(endOf(events) + 7)]);
    const { ledger, offset } = auditor.tuner;
    for (let keyClass = 0; keyClass < 12; keyClass++) {
      expect(formatRatio(auditor.returnsOf(keyClass))).toBe(formatRatio(toReturned(ledger, keyClass)));
    }
    let moves = 0;
    let travel = 0;
    for (const entry of auditor.entries) {
      if (entry.kind !== 'offset') continue;
      moves += entry.cents;
      travel += Math.abs(entry.cents);
    }
    expect(moves).toBeCloseTo(offset.cents, 6);
    expect(ledger.totals.offsetTravelCents).toBeCloseTo(travel, 6);
    const returns = auditor.entries.filter((entry) => entry.kind === 'return');
    expect(ledger.totals.returns).toBe(returns.length);
  });
});

describe('the entries of the ledger:', () => {
  test('a return names the comma', () => {
    // I vi ii V I with every common tone tied and no memory: G, C and E come back a comma low, D and A never left.
    const weights = { ...DEFAULT_WEIGHTS, recall: 0, returnPrice: 0 };
    const music = new Playing({ strategy: 'free', weights });
    for (const names of ['C4 E4 G4', 'C4 E4 A4', 'D4 F4 A4', 'D4 G4 B4', 'C4 E4 G4'])
      music.chord(keysOf(names));
    const returns = music.telling.entries.filter((entry) => entry.kind === 'return');
    expect(returns.map(({ key, ratio }) => `${key} ${formatRatio(ratio)}`)).toEqual([
      '67 80/81',
      '60 80/81',
      '64 80/81',
    ]);
    for (const { cents } of returns) expect(cents).toBeCloseTo(-21.5063, 4);
    expect(music.tuner.ledger.totals.returns).toBe(3);
    expect(music.tuner.ledger.totals.jumpedCents).toBeCloseTo(3 * 21.5063, 3);
  });

  test('a note that has glided comes back from where it was heard last', () => {
    const music = new Playing({ strategy: 'anchored', leewayCents: 0 })
      .chord([60, 64, 67])
      .chord([60, 65, 69]);
    const { totals } = music.tuner.ledger;
    expect(totals.jumpedCents).toBe(0);
    const glided = music.cents(60);
    music.lift([60]).strike([60]).wait(500);
    // The same chord at the same level: the C was tied, has moved, and stands where it moved to.
    expect(music.cents(60)).toBeCloseTo(glided, 9);
    expect(totals.jumpedCents).toBeCloseTo(0, 9);
  });

  test('an anchored offset move is entered with the number of struck and tied notes', () => {
    const music = new Playing({ strategy: 'anchored', leewayCents: 0 })
      .chord([60, 64, 67])
      .chord([60, 65, 69]);
    const moves = music.telling.entries.filter((entry) => entry.kind === 'offset');
    expect(moves.map(({ cause, struck, tied }) => [cause, struck, tied])).toEqual([
      ['first strike', 3, 0],
      ['anchor', 2, 1],
    ]);
    // The tied C glides by as much as the offset moved, and the new notes glide with it: nothing is impure meanwhile.
    expect(music.tuner.ledger.totals.glidedCents).toBeCloseTo(Math.abs(moves[1].cents), 9);
    expect(music.tuner.ledger.totals.impurityCentSeconds).toBe(0);
  });

  test('an anchored tied note that stays is entered with its impurity, in cents times seconds', () => {
    const music = new Playing({ strategy: 'anchored', held: 'stay', leewayCents: 0 })
      .chord([60, 64, 67])
      .chord([60, 65, 69], undefined, 2000)
      .chord([]);
    const [entry] = music.telling.entries.filter((one) => one.kind === 'impurity');
    const moved = music.tuner.offset.cents - music.tuner.ledger.accounts[0]!.firstOffsetCents;
    expect(entry.key).toBe(60);
    expect(entry.cents).toBeCloseTo(-moved, 9);
    expect(entry.centSeconds).toBeCloseTo(2 * Math.abs(moved), 6);
    expect(music.tuner.ledger.totals.impurityCentSeconds).toBeCloseTo(entry.centSeconds, 9);
    expect(music.tuner.ledger.totals.glidedCents).toBe(0);
  });

  test('a key class that never sounded has no drift', () => {
    expect(toReturned(new Playing().tuner.ledger, 5)).toEqual(UNISON);
  });
});
