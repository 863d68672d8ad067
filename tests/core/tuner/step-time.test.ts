import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import {
  createTuner,
  LEAVING_MS,
  type LedgerEntry,
  nextWakeMs,
  step,
  type TunerEvent,
  type TunerSettings,
  toMeanFromHome,
  toSettings,
} from '../../../src/core/tuner/index.js';
import { type EventLine, Playing, Telling } from '../../support/play.js';
import { forAll } from '../../support/properties.js';
import { endOf, letGo, playing, settings } from '../../support/random-playing.js';

/** Everything told and entered. */
function play(
  chosen: TunerSettings,
  events: readonly TunerEvent[],
): { told: EventLine[]; entries: LedgerEntry[] } {
  const tuner = createTuner(chosen);
  const telling = new Telling();
  for (const event of events) step(tuner, event, telling);
  return { told: telling.told, entries: telling.entries };
}

/** As text, numbers to a millionth: sums of many small steps and of one differ in the last float. */
function rounded(value: unknown): string {
  return JSON.stringify(value, (_key, one) =>
    typeof one === 'number' ? Math.round(one * 1e6) / 1e6 + 0 : one,
  );
}

describe('callers of time that are late', () => {
  test('change nothing: one call after a long wait does what many small ones do, at the same times', () => {
    const gaps = fc.array(fc.double({ min: 0.1, max: 45, noNaN: true }), { minLength: 1, maxLength: 8 });
    forAll([settings(), playing(30), gaps], 100, (chosen, events, steps) => {
      const whole = [...events, ...letGo(endOf(events) + 400)];
      const often: TunerEvent[] = [];
      let nowMs = whole[0].atMs;
      let turn = 0;
      for (const event of whole) {
        for (; event.atMs - nowMs < 2000 && nowMs < event.atMs; nowMs += steps[turn++ % steps.length]) {
          often.push({ kind: 'time', atMs: nowMs });
        }
        often.push(event);
        nowMs = event.atMs;
      }
      expect(rounded(play(chosen, often))).toBe(rounded(play(chosen, whole)));
    });
  });

  test('are woken when something is due, and not before', () => {
    forAll([settings(), playing(30)], 100, (chosen, events) => {
      const tuner = createTuner(chosen);
      const telling = new Telling();
      for (const event of events) {
        const dueMs = nextWakeMs(tuner);
        if (event.atMs < dueMs) {
          const before = telling.told.length + telling.entries.length;
          step(tuner, { kind: 'time', atMs: event.atMs }, telling);
          expect(telling.told.length + telling.entries.length).toBe(before);
        }
        step(tuner, event, telling);
      }
    });
  });

  test('are not needed at all when nothing sounds', () => {
    const music = new Playing({ strategy: 'pull' }).chord([60, 64, 67]).chord([]);
    expect(nextWakeMs(music.tuner)).toBe(Infinity);
  });
});

describe('pull', () => {
  test.each([0, 3, 40])('moves what sounds by no more than %i cents a second', (rateCentsPerSecond) => {
    forAll([settings({ strategy: 'pull', rateCentsPerSecond }), playing(30)], 60, (chosen, events) => {
      const tuner = createTuner(chosen);
      // What a note sounded when it was last placed: from then on only the pull moves it.
      const placed = new Map<number, { atMs: number; cents: number }>();
      const tooFast: string[] = [];
      const telling = new (class extends Telling {
        override start(...[atMs, note, cents]: Parameters<Telling['start']>): void {
          placed.set(note.id, { atMs, cents });
        }

        override retune(...[atMs, note, cents]: Parameters<Telling['retune']>): void {
          const from = placed.get(note.id);
          // What is placed again glides there; that is over soon after it was struck, if no other strike has its glide begin again.
          const softMs = note.struckMs + LEAVING_MS + Math.max(60, chosen.glideMs) + 2 * chosen.tickMs + 300;
          if (!note.settled || from === undefined || atMs <= softMs) {
            placed.set(note.id, { atMs, cents });
            return;
          }
          // The pull moves once a tick, for the tick before it.
          const most = (rateCentsPerSecond * (atMs - from.atMs + chosen.tickMs)) / 1000 + 1e-9;
          if (Math.abs(cents - from.cents) > most) tooFast.push(`${cents - from.cents} by ${atMs}`);
        }
      })();
      for (const event of events) step(tuner, event, telling);
      expect(tooFast).toEqual([]);
    });
  });

  test('brings the mean to the edge of the leeway, and stops there', () => {
    const chosen = toSettings({ strategy: 'pull', leewayCents: 2, rateCentsPerSecond: 10 });
    const music = new Playing(chosen);
    // Falls by a comma or so, each root a fifth below with common tones tied.
    music.chord([60, 64, 67]).chord([60, 65, 69]).chord([62, 65, 69]);
    const outside = Math.abs(music.meanFromHome());
    music.wait(30_000);
    expect(Math.abs(music.meanFromHome())).toBeLessThanOrEqual(2 + 1e-9);
    if (outside > 2) expect(Math.abs(music.meanFromHome())).toBeCloseTo(2, 9);
    expect(nextWakeMs(music.tuner)).toBe(Infinity);
  });

  test('moves everything that follows together, so that harmony stays pure', () => {
    const music = new Playing({ strategy: 'pull', leewayCents: 0, rateCentsPerSecond: 10 });
    music.chord([60, 64, 67]).chord([60, 65, 69]);
    const before = [60, 65, 69].map((key) => music.cents(key));
    const distance = toMeanFromHome(music.tuner);
    music.wait(30_000);
    for (const [i, key] of [60, 65, 69].entries()) {
      expect(music.cents(key) - before[i]).toBeCloseTo(-distance, 6);
    }
  });
});

test('a glide takes a tied note to its new pitch in the glide time, evenly and without a jump', () => {
  const music = new Playing({ strategy: 'anchored', leewayCents: 0, glideMs: 100 }).chord([60, 64, 67]);
  const before = music.cents(60);
  music.lift([64, 67]).strike([65, 69]);
  const moved = music.tuner.offset.cents - music.tuner.ledger.accounts[0]!.firstOffsetCents;
  expect(Math.abs(moved)).toBeGreaterThan(1);
  expect(music.cents(60)).toBeCloseTo(before, 9);
  expect(music.wait(50).cents(60)).toBeCloseTo(before + moved / 2, 6);
  expect(music.wait(50).cents(60)).toBeCloseTo(before + moved, 6);
  expect(music.wait(500).cents(60)).toBeCloseTo(before + moved, 6);
});

test('a glide takes many notes in wider steps, each a message a note, to the same end', () => {
  const glide = (crowd: number) => {
    const tuner = createTuner(toSettings({ strategy: 'anchored', leewayCents: 0 }));
    const telling = new Telling();
    for (let i = 0; i < crowd; i++)
      step(tuner, { kind: 'note-on', atMs: 0, part: 1 + Math.floor(i / 64), key: 60 }, telling);
    step(tuner, { kind: 'note-on', atMs: 1000, part: 0, key: 64 }, telling);
    step(tuner, { kind: 'time', atMs: 2000 }, telling);
    const moves = telling.told.filter(({ what, id, atMs }) => what === 'retune' && id === 0 && atMs > 1000);
    expect(toMeanFromHome(tuner)).toBeCloseTo(0, 6);
    expect(tuner.offset.glideFromMs).toBe(-Infinity);
    return moves.length;
  };
  expect(glide(2)).toBe(6);
  expect(glide(300)).toBe(3);
  expect(glide(1100)).toBe(2);
});
