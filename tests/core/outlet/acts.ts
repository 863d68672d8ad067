import fc from 'fast-check';

/** One thing a player, or the tuner behind the player, does. Numbers are turned into what is possible at that moment. */
export type Act =
  | { readonly do: 'strike'; readonly part: number; readonly key: number; readonly cents: number }
  | { readonly do: 'lift'; readonly pick: number }
  | { readonly do: 'retune'; readonly pick: number; readonly cents: number }
  | { readonly do: 'glide'; readonly cents: number }
  | { readonly do: 'control'; readonly part: number; readonly message: readonly [number, number, number] }
  | { readonly do: 'bendRange'; readonly part: number; readonly semitones: number }
  | { readonly do: 'fineTuning'; readonly part: number; readonly msb: number }
  | { readonly do: 'wait'; readonly ms: number }
  | { readonly do: 'drain' }
  | { readonly do: 'reopen' };

/** A hundred things done by so many parts, pedals and wheels included; `drift` is how far pitches may wander, in cents. */
export function playing(parts: number, drift: number, length = 100): fc.Arbitrary<Act[]> {
  const part = fc.nat(parts - 1);
  const pick = fc.nat(1000);
  const cents = fc.double({ min: -60, max: 60, noNaN: true });
  const byte = fc.nat(127);
  const control = (status: number, data1: fc.Arbitrary<number>, data2: fc.Arbitrary<number>) =>
    fc.record({
      do: fc.constant('control' as const),
      part,
      message: fc.tuple(fc.constant(status), data1, data2),
    });
  const act: fc.Arbitrary<Act> = fc.oneof(
    {
      weight: 12,
      arbitrary: fc.record({
        do: fc.constant('strike' as const),
        part,
        key: fc.integer({ min: 55, max: 70 }),
        cents,
      }),
    },
    { weight: 9, arbitrary: fc.record({ do: fc.constant('lift' as const), pick }) },
    { weight: 2, arbitrary: fc.record({ do: fc.constant('retune' as const), pick, cents }) },
    {
      weight: 2,
      arbitrary: fc.record({
        do: fc.constant('glide' as const),
        cents: fc.double({ min: -drift, max: drift, noNaN: true }),
      }),
    },
    { weight: 4, arbitrary: fc.record({ do: fc.constant('wait' as const), ms: fc.nat(400) }) },
    { weight: 4, arbitrary: control(0xb0, fc.constantFrom(64, 64, 66, 67), fc.constantFrom(0, 127)) },
    { weight: 2, arbitrary: control(0xb0, fc.constantFrom(0, 1, 7, 10, 11, 32, 33, 74, 91), byte) },
    { weight: 2, arbitrary: control(0xc0, byte, fc.constant(0)) },
    { weight: 1, arbitrary: control(0xd0, byte, fc.constant(0)) },
    { weight: 1, arbitrary: control(0xa0, fc.integer({ min: 55, max: 70 }), byte) },
    { weight: 2, arbitrary: control(0xe0, byte, byte) },
    { weight: 1, arbitrary: control(0xb0, fc.constant(121), fc.constant(0)) },
    {
      weight: 1,
      arbitrary: fc.record({
        do: fc.constant('bendRange' as const),
        part,
        semitones: fc.integer({ min: 1, max: 12 }),
      }),
    },
    { weight: 1, arbitrary: fc.record({ do: fc.constant('fineTuning' as const), part, msb: byte }) },
  );
  return fc.array(act, { minLength: 1, maxLength: length, size: 'max' });
}
