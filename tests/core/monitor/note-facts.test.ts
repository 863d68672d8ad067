import { describe, expect, test } from 'vitest';
import { toNoteFacts, toRecalledFacts } from '../../../src/core/monitor/index.js';
import { LIMITS } from '../../../src/core/protocol/index.js';
import { toSoundingCents } from '../../../src/core/tuner/index.js';
import { keysOf } from '../../support/play.js';
import { PUMPS } from '../../support/pumps.js';
import { Trio } from '../../support/trio.js';

const PLAIN = () => ({ velocity: 80, channel: null, bend: null });

describe('toNoteFacts', () => {
  test('describes a triad from the lowest note up, with names, ratios, cents and what decided each', () => {
    const trio = new Trio({ referenceCents: 20 }).chord(keysOf('E4 G4 C4'));
    const { notes, more } = toNoteFacts('free', trio.tuners, PLAIN);
    expect(more).toBe(0);
    const table = notes.map(({ name, toBass, toHome, presence, by }) => [
      name,
      toBass,
      toHome,
      presence,
      by.place,
      by.name,
    ]);
    expect(table).toEqual([
      ['C4⁰', '1/1', '1/1', 'held', '', ''],
      ['E4⁻¹', '5/4', '5/4', 'held', 'a just major third above', 'C4⁰'],
      ['G4⁰', '3/2', '3/2', 'held', 'a just fifth above', 'C4⁰'],
    ]);
    // The first chord stands at home as a whole: its mean is 12 equal.
    expect(notes[1].fromEqual - notes[0].fromEqual).toBeCloseTo(-13.686, 2);
    expect(notes.reduce((sum, note) => sum + note.fromEqual, 0)).toBeCloseTo(0, 2);
    expect(notes.map((note) => note.cents.equal)).toEqual([6020, 6420, 6720]);
    // C decided E, and carries the id it has in the same list.
    expect(notes[1].by).toMatchObject({ id: notes[0].id, ratio: '5/4' });
  });

  test('tells a note of a partner that can not be tuned, at its own pitch', () => {
    const struck = { kind: 'note-on', atMs: 100, part: 0, velocity: 80 } as const;
    const trio = new Trio().tell({ ...struck, key: 60, fixedCents: 6010 }).tell({ ...struck, key: 64 });
    const { notes } = toNoteFacts('free', trio.tuners, PLAIN);
    expect(notes.map(({ isFixed }) => isFixed)).toEqual([true, false]);
    expect(notes[0].fromEqual).toBeCloseTo(10, 6);
    expect(notes[1].cents.free - notes[0].cents.free).toBeCloseTo(386.314, 2);
  });

  test('points at no note where a note was decided by its own memory', () => {
    const trio = new Trio().chord([60]).tell({ kind: 'note-off', atMs: 500, part: 0, key: 60 });
    trio.nowMs = 700;
    const [note] = toNoteFacts('free', trio.chord([60]).tuners, PLAIN).notes;
    expect(note.by).toMatchObject({ presence: 'recalled', id: null, name: 'C4⁰' });
  });

  test('has a separate pitch of a note for each strategy', () => {
    const trio = new Trio();
    const [pump] = PUMPS;
    for (let pass = 0; pass < 3; pass++)
      for (const chord of pump.chords) trio.chord(keysOf(chord.keys), keysOf(chord.keys), 3000);
    trio.chord(keysOf(pump.chords[0].keys), keysOf(pump.chords[0].keys), 3000);
    const [bass] = toNoteFacts('anchored', trio.tuners, PLAIN).notes;
    expect(bass.name).toBe('C3⁻³');
    for (const which of ['free', 'pull', 'anchored'] as const) {
      const tuner = trio.tuners[which];
      const note = tuner.notes.find((one) => one.key === bass.key);
      expect(note).toBeDefined();
      expect(bass.cents[which]).toBeCloseTo(toSoundingCents(tuner, note!), 3);
    }
    expect(bass.cents.free).toBeLessThan(bass.cents.anchored - 50);
  });

  test('has the points of a note under the strategies where it stands elsewhere, and no others', () => {
    const trio = new Trio().chord(keysOf('C4 E4'));
    expect(toNoteFacts('free', trio.tuners, PLAIN).notes.map(({ elsewhere }) => elsewhere)).toEqual([
      undefined,
      undefined,
    ]);
    // As if the music had come a comma lower under one of them.
    const [, third] = trio.tuners.anchored.notes;
    third.point = [0, 4, -1, 0, 0, 0];
    const { notes } = toNoteFacts('free', trio.tuners, PLAIN);
    expect(notes.map(({ elsewhere }) => elsewhere)).toEqual([undefined, { anchored: [0, 4, -1, 0, 0, 0] }]);
    const other = toNoteFacts('anchored', trio.tuners, PLAIN).notes[1];
    expect(Object.keys(other.elsewhere ?? {})).toEqual(['free', 'pull', 'temper']);
    expect(other.elsewhere?.pull).toEqual(notes[1].point);
  });

  test('has the lowest notes up to its bound, and counts the rest', () => {
    const trio = new Trio();
    trio.tell({ kind: 'pedal', atMs: 0, part: 0, pedal: 'sustain', down: true });
    for (let key = 120; key > 120 - LIMITS.notes - 6; key--)
      trio.tell({ kind: 'note-on', atMs: 0, part: 0, key });
    const { notes, more } = toNoteFacts('free', trio.tuners, PLAIN);
    expect([notes.length, more, notes[0].key]).toEqual([LIMITS.notes, 6, 120 - LIMITS.notes - 5]);
  });

  test('gives a note that one tuner never had the pitch of the chosen strategy', () => {
    const trio = new Trio().chord([60]);
    const late = new Trio();
    const tuners = { ...trio.tuners, pull: late.tuners.pull };
    const [note] = toNoteFacts('free', tuners, PLAIN).notes;
    expect(note.cents.pull).toBe(note.cents.free);
  });

  test('marks a note younger than the strike window as open', () => {
    const trio = new Trio().tell({ kind: 'note-on', atMs: 0, part: 0, key: 60 });
    expect(toNoteFacts('free', trio.tuners, PLAIN).notes[0].presence).toBe('struck');
    trio.tell({ kind: 'pedal', atMs: 40, part: 0, pedal: 'sustain', down: true });
    trio.tell({ kind: 'note-off', atMs: 50, part: 0, key: 60 });
    expect(toNoteFacts('free', trio.tuners, PLAIN).notes[0].presence).toBe('pedalled');
  });
});

test('toRecalledFacts lists silent key classes that fade as the tuner forgets them, and no sounding ones', () => {
  const trio = new Trio().chord(keysOf('C4 E4'));
  const { recall, recallSeconds } = trio.tuners.free.settings.weights;
  trio.tell({ kind: 'note-off', atMs: trio.nowMs, part: 0, key: 64 });
  expect(toRecalledFacts(trio.tuners.free, trio.nowMs)).toEqual([
    { point: [-2, 0, 1, 0, 0, 0], name: 'E4⁻¹', weight: recall },
  ]);
  const [later] = toRecalledFacts(trio.tuners.free, trio.nowMs + 1000 * recallSeconds);
  expect(later.weight).toBeCloseTo(recall / Math.E, 3);
  expect(toRecalledFacts(trio.tuners.free, trio.nowMs + 60_000)).toEqual([]);
});
