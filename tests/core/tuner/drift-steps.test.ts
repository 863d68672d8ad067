import { describe, expect, test } from 'vitest';
import {
  equal,
  formatRatio,
  multiply,
  type PrimeVector,
  toDeviationCents,
  UNISON,
} from '../../../src/core/theory/index.js';
import {
  type Drift,
  type LedgerEntry,
  STRATEGIES,
  step,
  type TunerSettings,
  toDrift,
  toSettings,
} from '../../../src/core/tuner/index.js';
import { homeOn, keysOf, Playing } from '../../support/play.js';
import { amongAll, forAll } from '../../support/properties.js';
import { endOf, letGo, playing, settings } from '../../support/random-playing.js';

/** I vi ii V, the common tones tied: falls a comma a pass, at V. */
const PUMP = ['C3 E4 G4 C5', 'A2 E4 A4 C5', 'D3 F4 A4 D5', 'G2 G4 B4 D5'].map(keysOf);

/** Plays whole passes, and the first chord again. */
function pumped(changes: Partial<TunerSettings>, passes = 1): Playing {
  const music = new Playing(changes);
  for (let pass = 0; pass < passes; pass++) for (const keys of PUMP) music.chord(keys, keys, 4000);
  return music.chord(PUMP[0], PUMP[0], 4000);
}

function leftOf(music: Playing): number {
  return toDrift(music.tuner).leftCents;
}

function stepsOf(entries: readonly LedgerEntry[]) {
  return entries.flatMap((entry) => (entry.kind === 'drift' ? [entry] : []));
}

describe('a step that is entered', () => {
  test('is shown by the lowest struck note that came back, at its strike, with the note that it was tied to', () => {
    const music = pumped({ strategy: 'free' });
    const [entry, ...more] = stepsOf(music.telling.entries);
    expect(more).toEqual([]);
    expect(entry).toMatchObject({
      atMs: 12_000,
      part: 0,
      key: PUMP[3][0],
      isReturn: true,
      byKey: PUMP[3][3],
    });
    expect(formatRatio(entry.ratio)).toBe('80/81');
    expect(entry.cents).toBeCloseTo(-21.5063, 4);
    const struck = music.telling.told.find(({ what, id }) => what === 'start' && id === entry.noteId);
    expect(struck).toMatchObject({ atMs: 12_000, key: PUMP[3][0] });
  });

  test('is shown by the lowest note where the harmony went, if none came back by it', () => {
    const music = new Playing({ strategy: 'free' }).chord(keysOf('C4 E4 G4 D5'));
    // The places are as they would be after a comma pump, whose end nobody heard.
    music.lift(keysOf('C4 E4 G4 D5')).wait(100);
    for (const reference of [0, 2, 4, 7]) {
      const { references } = music.tuner.ledger.drift;
      references[reference] = multiply(references[reference]!, [-4, 4, -1, 0, 0, 0]);
    }
    music.chord(keysOf('C4 E4 G4'));
    expect(stepsOf(music.telling.entries)).toMatchObject([{ key: 60, isReturn: false, byKey: undefined }]);
  });

  test('is none for one melody note that comes back a comma off over a held chord', () => {
    const music = new Playing({ strategy: 'free' }).chord(keysOf('G3 B3 D4 G4'));
    // D is 9/8 over G; over F and A it is 10/9, and the chord has more of the body.
    music.chord(keysOf('C3 E4 G4 C5'), [], 4000).chord(keysOf('F3 A3 C4 F4'), [], 4000);
    music.strike(keysOf('D5')).wait(500);
    expect(music.ratio(74, 53)).toBe('10/3');
    expect(music.returned(2)).toBe('80/81');
    expect(stepsOf(music.telling.entries)).toEqual([]);
    expect(toDrift(music.tuner)).toEqual({ commas: UNISON, backCents: 0, leftCents: 0 });
  });

  test('counts notes that have ended before their strike closed', () => {
    const music = new Playing({ strategy: 'free' });
    for (const keys of PUMP) music.chord(keys, keys, 4000);
    // At V the drift has moved already; G is tied, and C and E are a moment too short to be held with it.
    music.lift(PUMP[3].slice(2)).lift([PUMP[3][0]]);
    const { references } = music.tuner.ledger.drift;
    for (const keyClass of [0, 4])
      references[keyClass] = multiply(references[keyClass]!, [-4, 4, -1, 0, 0, 0]);
    music.strike(keysOf('C4 E4')).wait(5).lift(keysOf('C4 E4')).wait(500);
    expect(stepsOf(music.telling.entries).map(({ key }) => key)).toEqual([PUMP[3][0], 60]);
  });
});

/** The product of the steps since the drift counts anew. */
function productOf(entries: readonly LedgerEntry[]): PrimeVector {
  let product: PrimeVector = UNISON;
  for (const entry of stepsOf(entries)) product = multiply(product, entry.ratio);
  return product;
}

describe('whatever is played,', () => {
  test('the drift is the product of its steps and the moves of the offset since the first strike, and stays in silence', () => {
    let steps = 0;
    forAll([settings(), playing()], 150, (chosen, events) => {
      const music = new Playing(chosen);
      let silent: Drift | undefined;
      for (const event of [...events, ...letGo(endOf(events) + 7)]) {
        const wasSilent = music.tuner.notes.length === 0 && music.tuner.strike === undefined;
        if (wasSilent) silent ??= toDrift(music.tuner);
        step(music.tuner, { kind: 'time', atMs: event.atMs }, music.telling);
        if (wasSilent) expect(toDrift(music.tuner)).toEqual(silent);
        step(music.tuner, event, music.telling);
        if (music.tuner.notes.length > 0) silent = undefined;
        const { commas, backCents, leftCents } = toDrift(music.tuner);
        expect(equal(commas, productOf(music.telling.entries))).toBe(true);
        expect(leftCents).toBeCloseTo(toDeviationCents(commas) + backCents, 9);
        if (chosen.strategy === 'free') expect(backCents).toBe(0);
      }
      steps += stepsOf(music.telling.entries).length;
    });
    expect(steps).toBeGreaterThan(amongAll(5));
  });

  test('going home leaves no drift', () => {
    forAll([settings(), playing()], 60, (chosen, events) => {
      const music = new Playing(chosen);
      for (const one of events) step(music.tuner, one, music.telling);
      step(music.tuner, { kind: 'home', when: 'now', atMs: endOf(events) }, music.telling);
      // An open strike takes its place at home before it counts.
      step(music.tuner, { kind: 'time', atMs: endOf(events) + 300 }, music.telling);
      const isPulled = chosen.strategy === 'pull';
      expect(formatRatio(toDrift(music.tuner).commas)).toBe('1/1');
      if (!isPulled) expect(leftOf(music)).toBeCloseTo(0, 6);
    });
  });
});

// Held notes that stay are left behind by the pull: there the drift is where the next notes will be.
test.each([
  ...STRATEGIES.map((strategy) => [strategy, 'follow'] as const),
  ['free', 'stay'] as const,
  ['anchored', 'stay'] as const,
  ['temper', 'stay'] as const,
])(
  'the drift after whole passes of a pump is how far its first chord sounds from where it first did (%s, held notes %s)',
  (strategy, held) => {
    const music = new Playing({ strategy, held }).chord(PUMP[0], [], 4000);
    const soundOf = () => PUMP[0].reduce((sum, key) => sum + music.cents(key), 0) / PUMP[0].length;
    const first = soundOf();
    for (let pass = 1; pass <= 6; pass++) {
      for (const keys of PUMP.slice(1)) music.chord(keys, keys, 4000);
      // Struck as a whole where a tied note would keep its pitch.
      music.chord(PUMP[0], held === 'stay' ? [] : PUMP[0], 4000);
      expect(Math.abs(leftOf(music) - (soundOf() - first))).toBeLessThan(1e-6);
      if (held === 'follow')
        expect(toDeviationCents(toDrift(music.tuner).commas)).toBeCloseTo(-21.5063 * pass, 3);
    }
  },
);

describe('the drift is 0 again', () => {
  test('at once when everything goes home, and counts from there', () => {
    const music = pumped({ strategy: 'free' }, 2).tell({ kind: 'home', when: 'now' });
    expect(toDrift(music.tuner)).toEqual({ commas: UNISON, backCents: 0, leftCents: 0 });
    for (const keys of [...PUMP.slice(1), PUMP[0]]) music.chord(keys, keys, 4000);
    expect(formatRatio(toDrift(music.tuner).commas)).toBe('80/81');
  });

  test('at the next strike, if it is to go home, or at once in silence', () => {
    const music = pumped({ strategy: 'free' }, 2).tell({ kind: 'home', when: 'next' });
    expect(leftOf(music)).toBeCloseTo(-43.0126, 4);
    music.chord(PUMP[1], [], 500);
    expect(leftOf(music)).toBe(0);
    for (const keys of [PUMP[2], PUMP[3], PUMP[0]]) music.chord(keys, keys, 4000);
    music.lift(PUMP[0]).wait(200);
    expect(leftOf(music)).toBeCloseTo(-21.5063, 4);
    music.tell({ kind: 'home', when: 'now' });
    expect(leftOf(music)).toBe(0);
    music.chord(PUMP[0]);
    expect(leftOf(music)).toBe(0);
  });

  test('in the 3-limit, whose ledger begins again', () => {
    const music = pumped({ strategy: 'free' }, 2);
    music.tell({ kind: 'settings', settings: toSettings({ strategy: 'free', limit: 3 }) });
    expect(leftOf(music)).toBe(0);
  });
});

test.each<[string, Partial<TunerSettings>]>([
  ['another tonic', { home: homeOn('equal', 'A') }],
  ['another pitch of A', { referenceCents: -30 }],
  ['another strategy', { strategy: 'temper', leewayCents: 0 }],
  ['another limit', { limit: 7 }],
])('the drift stays with %s, and goes on from there', (_what, changes) => {
  const music = pumped({ strategy: 'free' }, 2);
  music.tell({ kind: 'settings', settings: toSettings({ strategy: 'free', ...changes }) });
  expect(formatRatio(toDrift(music.tuner).commas)).toBe('6400/6561');
  expect(leftOf(music)).toBeCloseTo(-43.0126, 4);
  music.wait(4000);
  expect(leftOf(music)).toBeCloseTo(-43.0126, 4);
  for (const keys of [...PUMP.slice(1), PUMP[0]]) music.chord(keys, keys, 4000);
  expect(formatRatio(toDrift(music.tuner).commas)).toBe('512000/531441');
});
