import fc from 'fast-check';
import type { Division, MidiFile, Track, TrackEvent, UnknownChunk } from '../../src/core/midi/index.js';

/** Waits of every encoded length, with the edges of each. */
const delta = fc.oneof(
  { weight: 4, arbitrary: fc.integer({ min: 0, max: 0x200 }) },
  fc.constantFrom(0x7f, 0x80, 0x3fff, 0x4000, 0x1fffff, 0x200000, 0x0fffffff),
);

const data = fc.oneof(
  { weight: 4, arbitrary: fc.uint8Array({ maxLength: 12 }) },
  fc.uint8Array({ minLength: 120, maxLength: 300 }),
);

const channelEvent = fc
  .tuple(
    fc.integer({ min: 0x80, max: 0xef }),
    fc.integer({ max: 127, min: 0 }),
    fc.integer({ max: 127, min: 0 }),
  )
  .map(([status, data1, data2]): Untimed => {
    const single = status >= 0xc0 && status < 0xe0;
    return { kind: 'channel', status, data1, data2: single ? 0 : data2 };
  });

const sysexEvent = fc
  .tuple(fc.constantFrom(0xf0 as const, 0xf7 as const), data)
  .map(([lead, bytes]): Untimed => ({ kind: 'sysex', lead, data: bytes }));

const metaEvent = fc
  .tuple(
    fc.integer({ min: 0, max: 127 }).filter((type) => type !== 0x2f),
    data,
  )
  .map(([type, bytes]): Untimed => ({ kind: 'meta', type, data: bytes }));

type Untimed = TrackEvent extends infer E ? (E extends TrackEvent ? Omit<E, 'tick'> : never) : never;

/** Gives an event its tick, with fields in the order of the type. */
function at(tick: number, event: Untimed): TrackEvent {
  if (event.kind === 'channel')
    return { kind: 'channel', tick, status: event.status, data1: event.data1, data2: event.data2 };
  if (event.kind === 'sysex') return { kind: 'sysex', tick, lead: event.lead, data: event.data };
  return { kind: 'meta', tick, type: event.type, data: event.data };
}

const track = fc
  .tuple(
    fc.array(fc.tuple(delta, fc.oneof({ weight: 4, arbitrary: channelEvent }, sysexEvent, metaEvent)), {
      maxLength: 30,
    }),
    delta,
    fc.oneof({ weight: 9, arbitrary: fc.constant(new Uint8Array(0)) }, data),
  )
  .map(([timed, endDelta, endData]): Track => {
    let tick = 0;
    const events = timed.map(([wait, event]) => {
      tick += wait;
      return at(tick, event);
    });
    events.push({ kind: 'meta', tick: tick + endDelta, type: 0x2f, data: endData });
    return { kind: 'track', events };
  });

const unknownChunk = fc
  .tuple(fc.uint8Array({ minLength: 4, maxLength: 4 }), data)
  .filter(([id]) => String.fromCharCode(...id) !== 'MTrk')
  .map(([id, bytes]): UnknownChunk => ({ kind: 'unknown', id, data: bytes }));

const division: fc.Arbitrary<Division> = fc.oneof(
  fc.integer({ min: 1, max: 0x7fff }).map((ticksPerQuarter): Division => ({ kind: 'ppq', ticksPerQuarter })),
  fc
    .tuple(
      fc.constantFrom(24 as const, 25 as const, 29 as const, 30 as const),
      fc.integer({ min: 1, max: 255 }),
    )
    .map(([framesPerSecond, ticksPerFrame]): Division => ({ kind: 'smpte', framesPerSecond, ticksPerFrame })),
);

/** Any file the standard allows, with unknown chunks and header bytes; not cut down to what is common. */
export const legalFile: fc.Arbitrary<MidiFile> = fc
  .tuple(
    fc.constantFrom(0 as const, 1 as const, 2 as const),
    division,
    fc.uint8Array({ maxLength: 6 }),
    fc.array(fc.oneof({ weight: 3, arbitrary: track }, unknownChunk), { maxLength: 6 }),
    fc.constantFrom('none' as const, 'riff' as const),
  )
  .map(
    ([format, divisionOf, headerExtra, chunks, wrapper]): MidiFile => ({
      format,
      division: divisionOf,
      headerExtra,
      chunks,
      wrapper,
    }),
  );

/** Messages as a port brings them, in pieces; ticks go on from piece to piece. */
export const messagePieces: fc.Arbitrary<TrackEvent[][]> = fc
  .array(
    fc.array(fc.tuple(delta, fc.oneof({ weight: 4, arbitrary: channelEvent }, sysexEvent)), { maxLength: 6 }),
    {
      maxLength: 5,
    },
  )
  .map((pieces) => {
    let tick = 0;
    return pieces.map((piece) =>
      piece.map(([wait, event]) => {
        tick += wait;
        return at(tick, event);
      }),
    );
  });
