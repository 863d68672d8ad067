import fc from 'fast-check';
import { parseTonic, toHome } from '../../src/core/theory/index.js';
import { STRATEGIES, type TunerEvent, type TunerSettings, toSettings } from '../../src/core/tuner/index.js';

/** How many parts play. */
export const PARTS = 3;

/** Keys few enough to be struck again while they sound, over two octaves. */
const key = fc.integer({ min: 55, max: 79 });
const part = fc.nat(PARTS - 1);

/** Waits inside the strike window, at its edges, and past glides and memories; not all of them whole. */
const wait = fc.oneof(
  { weight: 5, arbitrary: fc.constant(0) },
  { weight: 4, arbitrary: fc.integer({ min: 1, max: 60 }) },
  { weight: 2, arbitrary: fc.constantFrom(10, 29.5, 30, 30.5, 60) },
  { weight: 2, arbitrary: fc.integer({ min: 100, max: 1500 }) },
  { weight: 1, arbitrary: fc.constant(12_000) },
);

type Untimed = TunerEvent extends infer E ? (E extends TunerEvent ? Omit<E, 'atMs'> : never) : never;

const one = <T>(weight: number, arbitrary: fc.Arbitrary<T>): fc.WeightedArbitrary<T> => ({
  weight,
  arbitrary,
});

/** One thing a player does: mostly a key or a chord, at times a pedal, a cluster of ten, a panic. */
const act: fc.Arbitrary<Untimed[]> = fc.oneof(
  one(
    8,
    fc.record({ kind: fc.constant('note-on' as const), part, key }).map((event) => [event]),
  ),
  one(
    8,
    fc.record({ kind: fc.constant('note-off' as const), part, key }).map((event) => [event]),
  ),
  one(
    3,
    fc
      .tuple(part, fc.uniqueArray(key, { minLength: 2, maxLength: 5 }))
      .map(([of, keys]) => keys.map((k): Untimed => ({ kind: 'note-on', part: of, key: k }))),
  ),
  one(
    1,
    fc
      .tuple(part, fc.uniqueArray(key, { minLength: 10, maxLength: 10 }))
      .map(([of, keys]) => keys.map((k): Untimed => ({ kind: 'note-on', part: of, key: k }))),
  ),
  one(
    3,
    fc
      .record({
        kind: fc.constant('pedal' as const),
        part,
        pedal: fc.constantFrom('sustain' as const, 'sostenuto' as const, 'hold2' as const),
        down: fc.boolean(),
      })
      .map((event) => [event]),
  ),
  one(
    2,
    part.map((of): Untimed[] => [{ kind: 'keys-up', part: of }]),
  ),
  one(
    1,
    part.map((of): Untimed[] => [{ kind: 'silence', part: of }]),
  ),
);

/**
 * Playing by three parts with all pedals, keys struck again before they are let go, clusters of ten, note-offs without
 * notes. Ticks of the tuner's own clock fall anywhere, since it starts at odd times too.
 */
export function playing(length = 40): fc.Arbitrary<TunerEvent[]> {
  return fc
    .tuple(
      fc.double({ min: 0, max: 25, noNaN: true }),
      fc.array(fc.tuple(wait, act), { minLength: 1, maxLength: length, size: 'max' }),
    )
    .map(([startMs, acts]) => {
      let atMs = startMs;
      return acts.flatMap(([waitMs, events]) => {
        atMs += waitMs;
        return events.map((event): TunerEvent => ({ ...event, atMs }));
      });
    });
}

/** What ends any playing: every key and pedal of every part comes up. */
export function letGo(atMs: number): TunerEvent[] {
  return Array.from({ length: PARTS }, (_, of): TunerEvent[] => [
    { kind: 'keys-up', atMs, part: of },
    { kind: 'pedal', atMs, part: of, pedal: 'sustain', down: false },
    { kind: 'pedal', atMs, part: of, pedal: 'sostenuto', down: false },
    { kind: 'pedal', atMs, part: of, pedal: 'hold2', down: false },
  ]).flat();
}

/** When the last event is. */
export function endOf(events: readonly TunerEvent[]): number {
  return events[events.length - 1].atMs;
}

const homes = ['C', 'F#', 'Bb'].flatMap((name) => {
  const tonic = parseTonic(name);
  if (!tonic.ok) throw new RangeError(tonic.problem.message);
  const kinds = ['equal', 'just', 'meantone', 'pythagorean'] as const;
  return kinds.map((kind) => toHome({ kind, tonic: tonic.value }));
});

/** Every strategy, both ways with held notes, all limits; leeways, rates, recalls, glides and homes of all kinds. */
export function settings(changes: Partial<TunerSettings> = {}): fc.Arbitrary<TunerSettings> {
  return fc
    .record({
      strategy: fc.constantFrom(...STRATEGIES),
      held: fc.constantFrom('follow' as const, 'stay' as const),
      limit: fc.constantFrom(3 as const, 5 as const, 7 as const, 13 as const),
      leewayCents: fc.constantFrom(0, 2, 4, 8, 12),
      rateCentsPerSecond: fc.constantFrom(0, 3, 40),
      recallCents: fc.constantFrom(0, 12, 50),
      glideMs: fc.constantFrom(0, 60, 250),
      referenceCents: fc.constantFrom(0, -31.77),
      home: fc.constantFrom(...homes),
    })
    .map((chosen) => {
      const leewayCents = chosen.strategy === 'free' ? Infinity : chosen.leewayCents;
      return toSettings({ ...chosen, leewayCents, ...changes });
    });
}
