import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import {
  createTuner,
  fromSnapshot,
  LEAVING_MS,
  reasonOf,
  step,
  type Tuner,
  type TunerEvent,
  type TunerOut,
  toSettings,
  toSnapshot,
} from '../../../src/core/tuner/index.js';
import { forAll } from '../../support/properties.js';

/** Everything a tuner tells, as text that can be compared. */
class Teller implements TunerOut {
  readonly told: string[] = [];
  start = (atMs: number, note: { id: number }, cents: number) => this.#tell('start', atMs, note.id, cents);
  retune = (atMs: number, note: { id: number }, cents: number) => this.#tell('retune', atMs, note.id, cents);
  release = (atMs: number, note: { id: number }) => this.#tell('release', atMs, note.id);
  end = (atMs: number, note: { id: number }) => this.#tell('end', atMs, note.id);
  enter = (entry: object) => this.#tell('enter', JSON.stringify(entry));
  #tell(...what: (string | number)[]): void {
    this.told.push(what.join(' '));
  }
}

function play(tuner: Tuner, events: readonly TunerEvent[], out: TunerOut = new Teller()): void {
  for (const event of events) step(tuner, event, out);
}

const event = fc.record({
  wait: fc.constantFrom(0, 5, 40, 400),
  key: fc.integer({ min: 48, max: 72 }),
  kind: fc.constantFrom('note-on' as const, 'note-off' as const, 'time' as const),
});

function toEvents(
  raw: readonly { wait: number; key: number; kind: 'note-on' | 'note-off' | 'time' }[],
  fromMs: number,
) {
  let atMs = fromMs;
  return raw.map(({ wait, key, kind }): TunerEvent => {
    atMs += wait;
    return kind === 'time' ? { kind, atMs } : { kind, atMs, part: 0, key };
  });
}

describe('a snapshot of a tuner', () => {
  test('goes on, after a structured clone, exactly as the original does', () => {
    forAll(
      [
        fc.array(event, { minLength: 1, maxLength: 40 }),
        fc.array(event, { minLength: 1, maxLength: 40 }),
        fc.constantFrom('free' as const, 'pull' as const, 'anchored' as const),
      ],
      200,
      (before, after, strategy) => {
        const tuner = createTuner(toSettings({ strategy }));
        play(tuner, [...toEvents(before, 0)]);
        // When no strike is open any more, so that it can be taken.
        play(tuner, [{ kind: 'time', atMs: tuner.nowMs + LEAVING_MS + 1 }]);
        const snapshot = toSnapshot(tuner);
        if (snapshot === undefined) throw new Error('no strike can be open');
        const twin = fromSnapshot(structuredClone(snapshot));
        expect(twin.notes.map(reasonOf)).toEqual(tuner.notes.map(reasonOf));
        const [one, other] = [new Teller(), new Teller()];
        const events = toEvents(after, tuner.nowMs);
        play(tuner, events, one);
        play(twin, events, other);
        expect(other.told).toEqual(one.told);
        expect(twin.ledger).toEqual(tuner.ledger);
      },
    );
  });

  test('shares nothing with the tuner it was taken of', () => {
    const tuner = createTuner(toSettings({}));
    play(
      tuner,
      toEvents(
        [
          { wait: 0, key: 60, kind: 'note-on' },
          { wait: 400, key: 0, kind: 'time' },
        ],
        0,
      ),
    );
    const snapshot = toSnapshot(tuner);
    const text = JSON.stringify(snapshot);
    play(
      tuner,
      toEvents(
        [
          { wait: 0, key: 60, kind: 'note-off' },
          { wait: 9, key: 64, kind: 'note-on' },
          { wait: 400, key: 0, kind: 'time' },
        ],
        500,
      ),
    );
    expect(JSON.stringify(snapshot)).toBe(text);
  });

  test('cannot be taken while a strike is open to revision', () => {
    const tuner = createTuner(toSettings({}));
    play(tuner, [{ kind: 'note-on', atMs: 0, part: 0, key: 60 }]);
    expect(toSnapshot(tuner)).toBeUndefined();
    play(tuner, [{ kind: 'time', atMs: 40 }]);
    expect(toSnapshot(tuner)?.notes).toHaveLength(1);
  });
});

test('a note that only a pedal holds is in a snapshot, and ends with the pedal', () => {
  const tuner = createTuner(toSettings({}));
  play(tuner, [
    { kind: 'pedal', atMs: 0, part: 0, pedal: 'sustain', down: true },
    { kind: 'note-on', atMs: 0, part: 0, key: 60 },
    { kind: 'note-off', atMs: 500, part: 0, key: 60 },
  ]);
  const copy = fromSnapshot(toSnapshot(tuner)!);
  expect(copy.notes.map(({ key, keyDown }) => [key, keyDown])).toEqual([[60, false]]);
  const out = new Teller();
  play(copy, [{ kind: 'pedal', atMs: 900, part: 0, pedal: 'sustain', down: false }], out);
  expect(out.told).toEqual(['end 900 0']);
});
