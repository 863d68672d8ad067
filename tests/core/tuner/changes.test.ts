import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { formatRatio, toDeviationCents, toFifths } from '../../../src/core/theory/index.js';
import {
  reasonOf,
  STRATEGIES,
  type TunerSettings,
  toDrift,
  toReturned,
} from '../../../src/core/tuner/index.js';
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

describe('going home', () => {
  test('at once lets sounding notes glide home as a whole, with their harmony', () => {
    const music = drifted();
    expect(music.meanFromHome()).toBeLessThan(-30);
    const proportion = music.proportion();
    const before = music.cents(72);
    const entries = music.telling.entries.length;
    music.tell({ kind: 'home', when: 'now' });
    expect(music.cents(72)).toBe(before);
    music.wait(30);
    expect(music.cents(72)).toBeGreaterThan(before + 5);
    music.wait(40);
    expect(music.meanFromHome()).toBeCloseTo(0, 9);
    expect(music.proportion()).toBe(proportion);
    const [entry] = music.telling.entries.slice(entries);
    expect(entry).toMatchObject({ kind: 'offset', cause: 'home', struck: 0, tied: music.tuner.notes.length });
    expect(music.tuner.ledger.movedCents).toBeCloseTo(music.tuner.offset.cents, 9);
  });

  test('at once in silence puts the next chord at home', () => {
    const music = drifted();
    music.lift(PUMP[0]).wait(100);
    music.tell({ kind: 'home', when: 'now' });
    music.chord(PUMP[1]);
    expect(music.meanFromHome()).toBeCloseTo(0, 9);
  });

  test('at once with a strike open puts that strike at home, and tied notes follow', () => {
    const music = drifted();
    music.lift([PUMP[0][3]]).wait(100).strike([PUMP[1][0]]).wait(10);
    music.tell({ kind: 'home', when: 'now' });
    music.strike([PUMP[2][3]]).wait(200);
    const struck = [PUMP[1][0], PUMP[2][3]].map((key) => music.cents(key) - 100 * key);
    expect(struck[0] + struck[1]).toBeCloseTo(0, 9);
    expect(music.tuner.notes.every((note) => note.lagCents === 0)).toBe(true);
  });

  test('at the next strike moves nothing before, and that strike as a whole', () => {
    const music = drifted();
    const before = music.meanFromHome();
    music.tell({ kind: 'home', when: 'next' });
    music.wait(500);
    expect(music.meanFromHome()).toBe(before);
    music.chord(PUMP[1], []);
    expect(music.meanFromHome()).toBeCloseTo(0, 9);
    expect(music.telling.entries).toContainEqual(expect.objectContaining({ kind: 'offset', cause: 'home' }));
    music.chord(PUMP[2]);
    expect(music.meanFromHome()).not.toBeCloseTo(0, 3);
  });

  test('moves notes too that otherwise stay', () => {
    const music = drifted({ strategy: 'pull', held: 'stay', leewayCents: 300 });
    expect(Math.abs(music.meanFromHome())).toBeGreaterThan(10);
    music.tell({ kind: 'home', when: 'now' });
    music.wait(100);
    const mean = music.tuner.notes.reduce((sum, note) => sum + note.reportedCents - 100 * note.key, 0);
    expect(mean).toBeCloseTo(0, 6);
  });
});

describe('a new piece', () => {
  /** What a chord sounds, and why, as a tuner tells it. */
  const toldOf = (music: Playing, from: number) =>
    music.telling.told
      .slice(from)
      .map((one) => ('cents' in one ? [one.what, one.key, one.cents] : [one.what, one.key]));

  test.each(STRATEGIES)('begins in silence as with a tuner that was never played, under %s', (strategy) => {
    const music = new Playing({ strategy });
    for (const keys of PUMP) music.chord(keys, keys, 4000);
    music.lift(PUMP[3]).wait(300).tell({ kind: 'home', when: 'next' });
    music.tell({ kind: 'begin' });
    const fresh = new Playing({ strategy });
    fresh.tuner.touches.clear();
    for (const [part, touch] of music.tuner.touches)
      fresh.tuner.touches.set(part, { ...touch, held: new Set() });
    fresh.nowMs = music.nowMs;
    const from = music.telling.told.length;
    for (const one of [music, fresh])
      for (const keys of [...PUMP, ...PUMP.toReversed()]) one.chord(keys, keys, 4000);
    expect(toldOf(music, from)).toEqual(toldOf(fresh, 0));
    expect(music.tuner.ledger).toEqual(fresh.tuner.ledger);
    expect(music.tuner.fifthsMean).toBe(fresh.tuner.fifthsMean);
  });

  test('begins under sounding notes without a move, with these as all it knows', () => {
    const music = drifted();
    const told = music.telling.told.length;
    const { cents } = music.tuner.offset;
    music.tell({ kind: 'begin' }).wait(500);
    expect(music.telling.told).toHaveLength(told);
    expect(music.tuner.offset.cents).toBe(cents);
    expect(music.tuner.fresh).toBe(false);
    expect(music.tuner.memory.every((one) => one === undefined)).toBe(true);
    expect(music.tuner.ledger.totals.returns).toBe(0);
    const heard = music.tuner.ledger.accounts.flatMap((account, keyClass) => (account ? [keyClass] : []));
    expect(heard).toEqual([...new Set(PUMP[0].map((key) => key % 12))].sort((a, b) => a - b));
    expect(music.tuner.ledger.movedCents).toBe(cents);
  });

  test('ends an open strike first, so that its notes count', () => {
    const music = new Playing({ strategy: 'free' }).strike(keysOf('C4 E4 G4')).tell({ kind: 'begin' });
    expect(music.tuner.strike).toBeUndefined();
    expect(toDrift(music.tuner).leftCents).toBe(0);
    expect(music.tuner.ledger.drift.references[4]).toEqual(music.point(64));
  });
});

describe('holding the drift', () => {
  test('lets anchored notes drift as under free, and anchors them again afterwards', () => {
    const music = new Playing({ strategy: 'anchored', leewayCents: 0 }).chord(PUMP[0], [], 4000);
    music.tell({ kind: 'hold-drift', on: true });
    const { cents } = music.tuner.offset;
    for (const keys of [...PUMP.slice(1), ...PUMP]) music.chord(keys, keys, 4000);
    expect(music.tuner.offset.cents).toBe(cents);
    expect(Math.abs(music.meanFromHome())).toBeGreaterThan(5);
    music.tell({ kind: 'hold-drift', on: false });
    music.chord(PUMP[0], [], 4000);
    expect(music.meanFromHome()).toBeCloseTo(0, 9);
  });

  test('with a strike open lets later notes of the strike move nothing, and puts no price on the offset', () => {
    const music = new Playing({ strategy: 'anchored', leewayCents: 0 }).chord(keysOf('C4'));
    const { scene } = music.tuner;
    const price = () => scene.anchorCost.of(scene.struck, Float64Array.from(scene.points, toDeviationCents));
    music.strike(keysOf('A4'));
    expect(price()).toBeGreaterThan(0);
    music.tell({ kind: 'hold-drift', on: true });
    music.strike(keysOf('F4'));
    expect(price()).toBe(0);
  });

  test('stops a pull, which goes on afterwards', () => {
    const music = drifted({ strategy: 'pull', rateCentsPerSecond: 0.1 });
    const { cents } = music.tuner.offset;
    music.tell({ kind: 'hold-drift', on: true });
    music.wait(5000);
    expect(music.tuner.offset.cents).toBe(cents);
    music.tell({ kind: 'hold-drift', on: false });
    music.wait(5000);
    expect(Math.abs(music.tuner.offset.cents - cents)).toBeCloseTo(0.5, 1);
  });
});

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
