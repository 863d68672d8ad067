import { describe, expect, test } from 'vitest';
import { toDeviationCents } from '../../../src/core/theory/index.js';
import { keysOf, Playing } from '../../support/play.js';

/** C, A, D, G with the common tones tied, slowly: falls one syntonic comma a pass in `free`. */
const PUMP = ['C3 G4 C5 E5', 'A3 A4 C5 E5', 'D3 A4 D5 F5', 'G3 G4 D5 B4'].map(keysOf);

function drifted(changes: ConstructorParameters<typeof Playing>[0] = { strategy: 'free' }): Playing {
  const music = new Playing(changes);
  for (let pass = 0; pass < 2; pass++) for (const keys of PUMP) music.chord(keys, keys, 4000);
  return music.chord(PUMP[0], PUMP[0], 4000);
}

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
