import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { formatRatio, toFifths } from '../../../src/core/theory/index.js';
import { reasonOf, type TunerSettings, toReturned } from '../../../src/core/tuner/index.js';
import { homeOn, keysOf, Playing } from '../../support/play.js';
import { forAll } from '../../support/properties.js';

/** C, A, D, G with the common tones tied, slowly: falls one syntonic comma a pass in `free`. */
const PUMP = ['C3 G4 C5 E5', 'A3 A4 C5 E5', 'D3 A4 D5 F5', 'G3 G4 D5 B4'].map(keysOf);

function drifted(changes: ConstructorParameters<typeof Playing>[0] = { strategy: 'free' }): Playing {
  const music = new Playing(changes);
  for (let pass = 0; pass < 2; pass++) for (const keys of PUMP) music.chord(keys, keys, 4000);
  return music.chord(PUMP[0], PUMP[0], 4000);
}

/** The same music under other settings from now on. */
function under(music: Playing, changes: Partial<TunerSettings>): Playing {
  return music.tell({ kind: 'settings', settings: { ...music.tuner.settings, ...changes } });
}

/** Settings a player may change while something sounds. */
const changes = fc.constantFrom<Partial<TunerSettings>>(
  { home: homeOn('equal', 'D') },
  { home: homeOn('just', 'Bb') },
  { home: homeOn('meantone', 'F#') },
  { limit: 3 },
  { limit: 5 },
  { limit: 7 },
  { referenceCents: -30 },
  { referenceCents: 12, strategy: 'pull', leewayCents: 2 },
  { strategy: 'free', leewayCents: Infinity },
  { strategy: 'temper', leewayCents: 0 },
  { held: 'stay' },
  { held: 'follow' },
);

describe('an adjustment of the settings', () => {
  test('to pull draws sounding notes home from then on, with their harmony', () => {
    const music = drifted();
    const [from, proportion] = [music.meanFromHome(), music.proportion()];
    const notes = music.tuner.notes.length;
    under(music, { strategy: 'pull', leewayCents: 2, rateCentsPerSecond: 10 });
    expect(music.meanFromHome()).toBe(from);
    music.wait(1000);
    expect(music.meanFromHome() - from).toBeCloseTo(10, 0);
    expect(music.proportion()).toBe(proportion);
    expect(music.tuner.notes).toHaveLength(notes);
    expect(music.tuner.ledger.movedCents).toBeCloseTo(music.tuner.offset.cents, 9);
  });

  test('to anchored moves nothing before the next strike, which is within the leeway', () => {
    const music = under(drifted(), { strategy: 'anchored', leewayCents: 8 });
    const from = music.meanFromHome();
    expect(from).toBeLessThan(-30);
    music.wait(2000);
    expect(music.meanFromHome()).toBe(from);
    music.chord(PUMP[1], PUMP[1], 200);
    expect(music.meanFromHome()).toBeGreaterThanOrEqual(-8.001);
  });

  test('from temper lets tempered notes glide into tune, unless held notes stay', () => {
    for (const held of ['follow', 'stay'] as const) {
      const music = drifted({ strategy: 'temper', leewayCents: 0, held });
      const leans = () => music.tuner.notes.map(({ lagCents }) => Math.abs(lagCents));
      expect(Math.max(...leans())).toBeGreaterThan(0.5);
      const before = leans();
      under(music, { strategy: 'free', leewayCents: Infinity });
      expect(leans()).toEqual(before);
      music.wait(100);
      if (held === 'stay') expect(leans()).toEqual(before);
      else expect(Math.max(...leans())).toBe(0);
    }
  });

  test('enters a running pull up to its time', () => {
    const music = under(drifted(), { strategy: 'pull', leewayCents: 2, rateCentsPerSecond: 1 });
    music.wait(1000);
    const booked = music.telling.entries.length;
    under(music, { glideMs: 80 });
    const [entry] = music.telling.entries.slice(booked);
    expect(entry).toMatchObject({ kind: 'offset', cause: 'pull', cents: expect.closeTo(1, 1) });
  });

  test('makes final what could still be revised, whatever the new window', () => {
    const music = new Playing({ strategy: 'free' }).strike([60]).wait(10);
    under(music, { strikeWindowMs: 200 });
    expect(music.tuner.notes.every(({ settled }) => settled)).toBe(true);
    expect(music.tuner.strike).toBeUndefined();
    const at = music.cents(60);
    music.strike([64, 67]).wait(300);
    expect(music.cents(60)).toBe(at);
    expect(music.proportion()).toBe('4:5:6');
  });
});

/** What knobs turn, each another value than `Playing` has by default. */
const TURNED: readonly Partial<TunerSettings>[] = [
  { leewayCents: 3 },
  { rateCentsPerSecond: 7 },
  { recallCents: 20 },
  { referenceCents: 12 },
];

describe('an adjustment of leeway, rate, recall or the pitch of A', () => {
  test.each(TURNED)(
    'to %j leaves an open strike open, which is placed as if its notes had come at once',
    (turned) => {
      for (const strategy of ['free', 'pull', 'anchored'] as const) {
        const music = new Playing({ strategy }).strike([60]).wait(10);
        // The settings come as a copy, as they do in another thread.
        under(music, structuredClone({ ...music.tuner.settings, ...turned }));
        expect(music.tuner.strike?.members).toHaveLength(1);
        music.wait(10).strike([64, 67]).wait(300);
        expect(music.tuner.strike).toBeUndefined();
        expect(music.proportion()).toBe('4:5:6');
        expect(music.telling.entries.filter(({ kind }) => kind === 'return')).toEqual([]);
      }
    },
  );

  test('goes on with a running pull, at its new rate, and the ledger has one entry of it', () => {
    const music = under(drifted(), { strategy: 'pull', leewayCents: 2, rateCentsPerSecond: 1 });
    const from = music.meanFromHome();
    const booked = music.telling.entries.length;
    for (let rate = 1; rate <= 20; rate++) under(music, { rateCentsPerSecond: rate }).wait(10);
    music.wait(10_000);
    expect(music.meanFromHome()).toBeCloseTo(-2, 6);
    expect(music.telling.entries.slice(booked)).toMatchObject([
      { kind: 'offset', cause: 'pull', cents: expect.closeTo(-2 - from, 6) },
    ]);
  });

  test('that leaves the pull nothing to do enters it up to its time', () => {
    const music = under(drifted(), { strategy: 'pull', leewayCents: 2, rateCentsPerSecond: 1 }).wait(1000);
    const booked = music.telling.entries.length;
    under(music, { leewayCents: 300 });
    expect(music.telling.entries.slice(booked)).toMatchObject([
      { cause: 'pull', cents: expect.closeTo(1, 1) },
    ]);
    expect(music.tuner.pulling).toBeUndefined();
  });

  test('takes sounding notes to a sliding pitch of A in small steps, whatever is struck meanwhile', () => {
    for (const strategy of ['free', 'pull', 'anchored', 'temper'] as const) {
      const music = new Playing({ strategy, leewayCents: 0 }).strike([60, 64]).wait(100);
      const heard = () => new Map(music.tuner.notes.map(({ id, reportedCents }) => [id, reportedCents]));
      let before = heard();
      for (let n = 1; n <= 100; n++) {
        under(music, { referenceCents: n / 2 });
        if (n === 40) music.strike([67]);
        music.wait(10);
        // A sixth of what is missing in each step of 10 of the 60 ms of a glide, which begins anew each time.
        for (const [id, cents] of heard())
          if (before.has(id)) expect(Math.abs(cents - before.get(id)!)).toBeLessThan(1);
        before = heard();
      }
      music.wait(100);
      const mean = [...heard().values()].reduce((sum, cents) => sum + cents, 0) / 3;
      expect(mean - (6000 + 6400 + 6700) / 3 - 50).toBeCloseTo(music.meanFromHome(), 6);
    }
  });

  test('decides what is struck next', () => {
    const music = drifted({ strategy: 'anchored', leewayCents: 300 });
    expect(music.meanFromHome()).toBeLessThan(-30);
    under(music, { leewayCents: 5 }).chord(PUMP[1], PUMP[1], 300);
    expect(Math.abs(music.meanFromHome())).toBeLessThan(5.001);
  });
});

/** Every pitch as it was reported last. */
const pitches = (music: Playing) => music.tuner.notes.map(({ reportedCents }) => reportedCents);

test.each(['D', 'Gb', 'F#'])(
  'another tonic, %s, moves no pitch: what sounds, its drift, memory and the notes after it are as without the change',
  (tonic) => {
    const changed = drifted();
    const left = drifted();
    const before = pitches(changed);
    under(changed, { home: homeOn('equal', tonic) });
    changed.wait(200);
    expect(pitches(changed)).toEqual(before);
    expect(changed.meanFromHome()).toBeCloseTo(left.meanFromHome(), 9);
    expect(changed.tuner.ledger.movedCents).toBeCloseTo(changed.tuner.offset.cents, 9);
    left.wait(200);
    for (const keys of [...PUMP.slice(1), ...PUMP]) {
      changed.chord(keys);
      left.chord(keys);
      pitches(left).forEach((cents, i) => {
        expect(pitches(changed)[i]).toBeCloseTo(cents, 6);
      });
    }
    expect(changed.tuner.ledger.totals.returns).toBe(left.tuner.ledger.totals.returns);
    // The tonic may be spelled as another name of its key: the names of what follows are as near the music as before.
    expect(changed.tuner.fifthsMean - toFifths(changed.tuner.notes[0].point)).toBeCloseTo(
      left.tuner.fifthsMean - toFifths(left.tuner.notes[0].point) + homeOn('equal', tonic).tonic.fifths,
      9,
    );
    for (let keyClass = 0; keyClass < 12; keyClass++)
      expect(toReturned(changed.tuner.ledger, keyClass)).toEqual(toReturned(left.tuner.ledger, keyClass));
  },
);

test('another tonic keeps names: the tonic is 1/1 where it sounds, and reasons name the same keys', () => {
  const music = new Playing({ strategy: 'free' }).strike([60, 64, 67]).wait(100);
  const reasons = music.tuner.notes.map((note) => reasonOf(note));
  under(music, { home: homeOn('equal', 'G') });
  const [c, e, g] = music.tuner.notes;
  expect([c, e, g].map(({ point }) => formatRatio(point))).toEqual(['2/3', '5/6', '1/1']);
  const after = music.tuner.notes.map((note) => reasonOf(note));
  expect(after.map(({ interval, deciderKey }) => [interval, deciderKey])).toEqual(
    reasons.map(({ interval, deciderKey }) => [interval, deciderKey]),
  );
});

test('another pitch of A takes what sounds along in a glide, in pure harmony, and what is struck meanwhile', () => {
  const music = new Playing({ strategy: 'free' }).strike([60, 64, 67]).wait(100);
  const before = pitches(music);
  under(music, { referenceCents: -50 });
  expect(pitches(music)).toEqual(before);
  music.wait(30).strike([72]);
  expect(music.cents(72) - music.cents(60)).toBeCloseTo(1200, 6);
  music.wait(100);
  expect(music.proportion()).toBe('4:5:6:8');
  pitches(music)
    .slice(0, 3)
    .forEach((cents, i) => {
      expect(cents).toBeCloseTo(before[i] - 50, 6);
    });
});

test('another pitch of A leaves held notes where they stay, and counts what is struck after from the new one', () => {
  const music = new Playing({ strategy: 'free', held: 'stay' }).strike([60]).wait(100);
  const [before] = pitches(music);
  under(music, { referenceCents: -50 });
  music.wait(200);
  expect(pitches(music)).toEqual([before]);
});

test('the 3-limit puts what sounds on its places in a glide, and begins memory and ledger again', () => {
  const music = drifted().tell({ kind: 'hold-drift', on: true });
  const { nextId, offset } = music.tuner;
  const keys = music.tuner.notes.map(({ key }) => key);
  const before = pitches(music);
  under(music, { limit: 3 });
  expect(pitches(music)).toEqual(before);
  music.wait(200);
  expect(music.tuner.notes.map(({ key }) => key)).toEqual(keys);
  expect(music.tuner.notes.every(({ point, lagCents }) => point[2] === 0 && lagCents === 0)).toBe(true);
  expect(music.tuner.memory.every((slot) => slot === undefined)).toBe(true);
  expect(music.tuner.ledger.totals.returns).toBe(0);
  expect(music.tuner.offset.cents).toBe(offset.cents);
  expect([music.tuner.nextId, music.tuner.driftHeld]).toEqual([nextId, true]);
  music.lift(keys).wait(100);
  expect(music.tuner.notes).toEqual([]);
});

test('a higher limit leaves what sounds, and counts from the next strike', () => {
  const music = new Playing({ strategy: 'free' }).strike([48, 64, 67]).wait(100);
  const before = pitches(music);
  under(music, { limit: 7 });
  expect(pitches(music)).toEqual(before);
  music.strike([70]).wait(100);
  expect(music.tuner.notes.at(-1)?.point[3]).toBe(1);
});

test('no change of settings ends a note or reports a jump, whatever is played and changed', () => {
  forAll([fc.array(fc.tuple(fc.nat(4), changes), { maxLength: 8 })], (turns) => {
    const music = new Playing({ strategy: 'anchored' });
    let chord: readonly number[] = [];
    for (const [pass, change] of turns) {
      const next = PUMP[pass % PUMP.length];
      music.lift(chord.filter((key) => !next.includes(key)));
      music.strike(next.filter((key) => !chord.includes(key))).wait(40);
      chord = next;
      const before = pitches(music);
      const keys = music.tuner.notes.map(({ key }) => key);
      under(music, change);
      expect(music.tuner.notes.map(({ key }) => key)).toEqual(keys);
      pitches(music).forEach((cents, i) => {
        expect(cents).toBeCloseTo(before[i], 6);
      });
      music.wait(300);
    }
    music.lift(chord).wait(100);
    expect(music.tuner.notes).toEqual([]);
  });
});

test('a restart forgets what sounds without an event; pedals stay down, time and numbers go on', () => {
  const music = drifted().tell({ kind: 'pedal', part: 0, pedal: 'sustain', down: true });
  const told = music.telling.entries.length;
  const { nextId, nowMs } = music.tuner;
  music.tell({ kind: 'restart' });
  expect(music.telling.entries).toHaveLength(told);
  expect(music.tuner).toMatchObject({ notes: [], nextId, nowMs, fresh: true });
  music.strike([60]).lift([60]);
  expect(music.tuner.notes).toHaveLength(1);
});
