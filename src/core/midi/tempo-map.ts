import { type Division, META, type MidiFile, tracksOf } from './smf-types.js';

/** Ticks to milliseconds and back, for one file. */
export interface TempoMap {
  /** When a tick sounds, in milliseconds from the start. `tick` is 0 or more and needn't be whole. */
  toMs(tick: number): number;
  /** The whole tick nearest to a time in milliseconds; 0 for times before the start. */
  toTick(ms: number): number;
}

interface Stretch {
  tick: number;
  /** Time at `tick`, in units of 1 µs / ticksPerQuarter: whole numbers, so no rounding builds up over a long file. */
  scaledUs: number;
  /** Microseconds a quarter note. */
  tempo: number;
}

/** 120 quarter notes a minute. */
const DEFAULT_TEMPO_US = 500_000;

/**
 * The tempo map of a file.
 *
 * Tempo events count whatever track they are in: the standard wants them in the first track of format 1, but not all
 * programs do that. Format 2 holds independent pieces: there only those of track number `trackIndex` count. At one tick
 * the last event, in file order, wins. Before the first, and without any, the tempo is 120 a minute. Tempo events
 * shorter than three bytes, or of 0 µs, are skipped; can't fail.
 *
 * With an SMPTE division ticks are time already, and tempo events don't matter. 29 frames a second is 30 drop-frame:
 * 30000/1001 frames each second.
 *
 * @param trackIndex which track's tempo counts in a format 2 file; ignored for formats 0 and 1
 * @see Standard MIDI Files 1.0, Header Chunks (division) and Set Tempo
 * @example toTempoMap(file).toMs(6144)  // 32000, at 96 ticks a quarter note and 500000 µs
 */
export function toTempoMap(file: MidiFile, trackIndex = 0): TempoMap {
  const { division } = file;
  if (division.kind === 'smpte') return toSteadyMap(toTicksPerSecond(division));
  const { ticksPerQuarter } = division;
  const stretches = toStretches(file, trackIndex);
  return {
    toMs(tick) {
      const { tick: start, scaledUs, tempo } = lastWhere(stretches, (stretch) => stretch.tick <= tick);
      return (scaledUs + (tick - start) * tempo) / (ticksPerQuarter * 1000);
    },
    toTick(ms) {
      const wanted = Math.max(0, ms) * ticksPerQuarter * 1000;
      const { tick, scaledUs, tempo } = lastWhere(stretches, (stretch) => stretch.scaledUs <= wanted);
      return tick + Math.round((wanted - scaledUs) / tempo);
    },
  };
}

/** Ticks in one second, exact but for 29 frames. @example toTicksPerSecond({ kind: 'smpte', framesPerSecond: 25, ticksPerFrame: 40 })  // 1000 */
export function toTicksPerSecond(division: Division & { kind: 'smpte' }): number {
  const framesPerSecond = division.framesPerSecond === 29 ? 30000 / 1001 : division.framesPerSecond;
  return framesPerSecond * division.ticksPerFrame;
}

function toSteadyMap(ticksPerSecond: number): TempoMap {
  return {
    toMs: (tick) => (tick * 1000) / ticksPerSecond,
    toTick: (ms) => Math.round((Math.max(0, ms) * ticksPerSecond) / 1000),
  };
}

function toStretches(file: MidiFile, trackIndex: number): Stretch[] {
  const tracks = file.format === 2 ? tracksOf(file).slice(trackIndex, trackIndex + 1) : tracksOf(file);
  const changes: { tick: number; tempo: number }[] = [];
  for (const { events } of tracks) {
    for (const event of events) {
      if (event.kind !== 'meta' || event.type !== META.tempo || event.data.length < 3) continue;
      const tempo = event.data[0] * 0x10000 + event.data[1] * 0x100 + event.data[2];
      if (tempo > 0) changes.push({ tick: event.tick, tempo });
    }
  }
  changes.sort((a, b) => a.tick - b.tick); // stable: file order within a tick
  const stretches: Stretch[] = [{ tick: 0, scaledUs: 0, tempo: DEFAULT_TEMPO_US }];
  for (const { tick, tempo } of changes) {
    const before = stretches[stretches.length - 1];
    if (tick === before.tick) before.tempo = tempo;
    else stretches.push({ tick, scaledUs: before.scaledUs + (tick - before.tick) * before.tempo, tempo });
  }
  return stretches;
}

/**
 * The last item for which `holds` is true, in a non-empty list where it is true up to some index and false from there
 * on; the first item if it is true for none. Binary search.
 *
 * @example lastWhere([0, 10, 20], (start) => start <= 15)  // 10
 */
export function lastWhere<T>(items: readonly T[], holds: (item: T) => boolean): T {
  let low = 0;
  let high = items.length - 1;
  while (low < high) {
    const middle = (low + high + 1) >> 1;
    if (holds(items[middle])) low = middle;
    else high = middle - 1;
  }
  return items[low];
}
