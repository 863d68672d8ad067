import { describe, expect, test } from 'vitest';
import { createTuner, step, toSettings } from '../../../src/core/tuner/index.js';
import { numbers } from '../../support/numbers.js';
import { Playing, Telling } from '../../support/play.js';
import { forAll } from '../../support/properties.js';
import { endOf, letGo, playing, settings } from '../../support/random-playing.js';

/** What became of each note, in order: `start release end`, retunes left out. */
function livesOf({ told }: Telling): Map<number, string> {
  const lives = new Map<number, string>();
  for (const { what, id } of told) {
    if (what === 'retune') continue;
    lives.set(id, lives.has(id) ? `${lives.get(id)} ${what}` : what);
  }
  return lives;
}

/** What is told of a playing's notes but retunes: `start 60, release 60, …` */
function story(music: Playing): string {
  return music.telling.told
    .filter(({ what }) => what !== 'retune')
    .map(({ what, key }) => `${what} ${key}`)
    .join(', ');
}

test('every note starts, is released and ends, once each and in that order; in the end nothing sounds', () => {
  forAll([settings(), playing()], 200, (chosen, events) => {
    const tuner = createTuner(chosen);
    const telling = new Telling();
    for (const event of [...events, ...letGo(endOf(events))]) step(tuner, event, telling);
    expect(tuner.notes).toEqual([]);
    const struck = events.filter((event) => event.kind === 'note-on').length;
    const lives = livesOf(telling);
    expect(lives.size).toBe(struck);
    expect(new Set(lives.values())).toEqual(new Set(struck === 0 ? [] : ['start release end']));
  });
});

test('a retune is reported of sounding notes alone', () => {
  forAll([settings(), playing()], (chosen, events) => {
    const tuner = createTuner(chosen);
    const telling = new Telling();
    for (const event of events) step(tuner, event, telling);
    const sounding = new Set<number>();
    for (const { what, id } of telling.told) {
      if (what === 'start') sounding.add(id);
      else if (what === 'end') sounding.delete(id);
      else if (!sounding.has(id)) expect(`${what} of ${id}`).toBe('sounding');
    }
  });
});

describe('the pedals of a tuner', () => {
  test('hold with sustain what is released, until it comes up', () => {
    const music = new Playing().tell({ kind: 'pedal', part: 0, pedal: 'sustain', down: true });
    music.strike([60, 64]).lift([60]);
    expect(story(music)).toBe('start 60, start 64, release 60');
    music.tell({ kind: 'pedal', part: 0, pedal: 'sustain', down: false });
    expect(story(music)).toBe('start 60, start 64, release 60, end 60');
    expect(music.tuner.notes.map(({ key }) => key)).toEqual([64]);
  });

  test('hold with sostenuto only the keys that were down when it went down', () => {
    const music = new Playing().strike([60]).tell({ kind: 'pedal', part: 0, pedal: 'sostenuto', down: true });
    music.strike([64]).lift([60, 64]);
    expect(story(music)).toBe('start 60, start 64, release 60, release 64, end 64');
    music.tell({ kind: 'pedal', part: 0, pedal: 'sostenuto', down: false });
    expect(story(music)).toMatch(/end 64, end 60$/);
  });

  test('leave what sostenuto holds when sustain comes up, and the other way round', () => {
    const music = new Playing().strike([60]).tell({ kind: 'pedal', part: 0, pedal: 'sostenuto', down: true });
    music.tell({ kind: 'pedal', part: 0, pedal: 'sustain', down: true }).strike([64]).lift([60, 64]);
    music.tell({ kind: 'pedal', part: 0, pedal: 'sustain', down: false });
    expect(music.tuner.notes.map(({ key }) => key)).toEqual([60]);
    music.tell({ kind: 'pedal', part: 0, pedal: 'sustain', down: true });
    music.tell({ kind: 'pedal', part: 0, pedal: 'sostenuto', down: false });
    expect(music.tuner.notes.map(({ key }) => key)).toEqual([60]);
  });

  test('hold with Hold 2 what is released, separately from sustain', () => {
    const music = new Playing().tell({ kind: 'pedal', part: 0, pedal: 'hold2', down: true });
    music.tell({ kind: 'pedal', part: 0, pedal: 'sustain', down: true }).strike([60]).lift([60]);
    music.tell({ kind: 'pedal', part: 0, pedal: 'sustain', down: false });
    expect(music.tuner.notes.map(({ key }) => key)).toEqual([60]);
    music.tell({ kind: 'pedal', part: 0, pedal: 'hold2', down: false });
    expect(music.tuner.notes).toEqual([]);
  });

  test('do not catch with sostenuto a note that only sustain holds', () => {
    const music = new Playing().tell({ kind: 'pedal', part: 0, pedal: 'sustain', down: true });
    music.strike([60]).lift([60]).tell({ kind: 'pedal', part: 0, pedal: 'sostenuto', down: true });
    music.tell({ kind: 'pedal', part: 0, pedal: 'sustain', down: false });
    expect(music.tuner.notes).toEqual([]);
  });

  test('act on their part alone', () => {
    const music = new Playing().tell({ kind: 'pedal', part: 1, pedal: 'sustain', down: true });
    music.strike([60], 0, 0).strike([64], 0, 1).lift([60], 0).lift([64], 1);
    expect(music.tuner.notes.map(({ key }) => key)).toEqual([64]);
  });

  test('a key struck again ends its own note that the pedal held, and nothing else', () => {
    const music = new Playing().tell({ kind: 'pedal', part: 0, pedal: 'sustain', down: true });
    music.strike([60, 64]).lift([60, 64]).strike([60]);
    expect(story(music)).toBe('start 60, start 64, release 60, release 64, end 60, start 60');
  });

  test('a key struck twice without release sounds twice, and is released one by one', () => {
    const music = new Playing().strike([60, 60]);
    expect(music.tuner.notes.length).toBe(2);
    music.lift([60]);
    expect(music.tuner.notes.length).toBe(1);
    expect(livesOf(music.telling)).toEqual(
      new Map([
        [0, 'start release end'],
        [1, 'start'],
      ]),
    );
  });
});

describe('the events keys-up and silence:', () => {
  test('keys-up lifts the keys of one part, pedals hold on', () => {
    const music = new Playing().tell({ kind: 'pedal', part: 0, pedal: 'sustain', down: true });
    music.strike([60], 0, 0).strike([64], 0, 1).tell({ kind: 'keys-up', part: 0 });
    music.tell({ kind: 'keys-up', part: 1 });
    expect(story(music)).toBe('start 60, start 64, release 60, release 64, end 64');
  });

  test('silence ends what the pedal holds too', () => {
    const music = new Playing().tell({ kind: 'pedal', part: 0, pedal: 'sustain', down: true });
    music.strike([60, 64]).lift([60]).tell({ kind: 'silence', part: 0 });
    expect(story(music)).toBe('start 60, start 64, release 60, end 60, release 64, end 64');
  });

  test('a finger lifted late from the chord before leaves the new chord pure', () => {
    let revised = 0;
    for (const late of [[49], [50], [54], [49, 56], [50, 57]]) {
      for (const keys of numbers('60 64 67, 60 63 67 70, 62 65 69')) {
        const music = new Playing({ strategy: 'free' }).chord(late).strike(keys);
        const underIt = music.proportion();
        music.wait(5).lift(late).wait(400);
        const clean = new Playing({ strategy: 'free' }).chord(late).wait(5).lift(late).strike(keys).wait(400);
        expect(music.proportion()).toBe(clean.proportion());
        if (music.proportion() !== underIt) revised += 1;
      }
    }
    // Some of them did stand elsewhere while the late note was held: else this would show nothing.
    expect(revised).toBeGreaterThan(0);
  });
});

test('a strike lasts five strike windows at most, however fast more notes follow', () => {
  const tuner = createTuner(toSettings({ strategy: 'free' }));
  const telling = new Telling();
  const strikes = new Set<unknown>();
  for (let i = 0; i < 100; i++) {
    step(tuner, { kind: 'note-on', atMs: 10 * i, part: 0, key: 40 + (i % 40) }, telling);
    strikes.add(tuner.strike);
    expect(tuner.strike!.members.length).toBeLessThanOrEqual(15);
    // Each sounds on into the next, so that the strike isn't over by itself.
    if (i > 0)
      step(tuner, { kind: 'note-off', atMs: 10 * i + 5, part: 0, key: 40 + ((i - 1) % 40) }, telling);
  }
  expect(strikes.size).toBe(7);
});
