import { META, type MidiFile, tracksOf } from './smf-types.js';
import { lastWhere, toTicksPerSecond } from './tempo-map.js';

/** The place of a tick in the metre. */
export interface MetrePosition {
  /** Bars count from 1. */
  bar: number;
  /** Beats count from 1 in each bar; a beat is one lower figure of the signature (an eighth in 6/8). */
  beat: number;
  /** Ticks since the beat began, 0 or more. */
  ticksIntoBeat: number;
}

/** Ticks to bars and beats, for one file. */
export interface MetreMap {
  /** Bar and beat of a tick, 0 or more. */
  toPosition(tick: number): MetrePosition;
  /** The first whole tick of a bar; of the first bar for numbers below 1. */
  toTick(bar: number): number;
}

/** A stretch of one signature, from a bar line on. */
interface Stretch {
  tick: number;
  bar: number;
  beatsPerBar: number;
  ticksPerBeat: number;
}

interface Signature {
  tick: number;
  numerator: number;
  /** As a power of two, the way the file stores it: 3 is an eighth. */
  denominatorPower: number;
}

const COMMON_TIME = { numerator: 4, denominatorPower: 2 } as const;

/** A beat of 2^-15 of a whole note is shorter than a tick at any division; longer powers are damage. */
const LARGEST_DENOMINATOR_POWER = 15;

/**
 * The metre map of a file.
 *
 * Built from the time signatures of all tracks; in format 2, of track number `trackIndex` alone. Before the first, and
 * without any, the metre is 4/4. Each signature starts a bar, even in the middle of one, which is then cut short (a
 * pick-up bar). At one tick the last signature, in file order, wins. Signatures shorter than two bytes or with a
 * numerator of 0 are skipped; can't fail. An SMPTE division knows no quarter note; there it lasts half a second, the
 * standard's tempo of 120.
 *
 * @param trackIndex which track's metre counts in a format 2 file; ignored for formats 0 and 1
 * @see Standard MIDI Files 1.0, Time Signature
 * @example toMetreMap(file).toPosition(480)  // { bar: 2, beat: 2, ticksIntoBeat: 0 }, in 4/4 at 96 ticks a quarter note
 */
export function toMetreMap(file: MidiFile, trackIndex = 0): MetreMap {
  const stretches = toStretches(file, trackIndex);
  return {
    toPosition(tick) {
      const stretch = lastWhere(stretches, (each) => each.tick <= tick);
      const { beatsPerBar, ticksPerBeat } = stretch;
      const beats = Math.floor((tick - stretch.tick) / ticksPerBeat);
      return {
        bar: stretch.bar + Math.floor(beats / beatsPerBar),
        beat: 1 + (beats % beatsPerBar),
        ticksIntoBeat: tick - stretch.tick - beats * ticksPerBeat,
      };
    },
    toTick(bar) {
      const { tick, bar: first, beatsPerBar, ticksPerBeat } = lastWhere(stretches, (each) => each.bar <= bar);
      return Math.ceil(tick + Math.max(0, bar - first) * beatsPerBar * ticksPerBeat);
    },
  };
}

function toStretches(file: MidiFile, trackIndex: number): Stretch[] {
  const { division } = file;
  const ticksPerQuarter = division.kind === 'ppq' ? division.ticksPerQuarter : toTicksPerSecond(division) / 2;
  const stretches: Stretch[] = [];
  for (const { tick, numerator, denominatorPower } of findSignatures(file, trackIndex)) {
    const before = stretches.at(-1);
    const stretch = {
      tick,
      bar: before ? before.bar + countBars(before, tick) : 1,
      beatsPerBar: numerator,
      ticksPerBeat: (4 * ticksPerQuarter) / 2 ** denominatorPower,
    };
    if (before?.tick === tick) stretches[stretches.length - 1] = stretch;
    else stretches.push(stretch);
  }
  return stretches;
}

/** Bars begun since the stretch began; the last one may be cut short. */
function countBars(stretch: Stretch, tick: number): number {
  return Math.ceil((tick - stretch.tick) / (stretch.beatsPerBar * stretch.ticksPerBeat));
}

/** The signatures in time order, 4/4 at the start among them. */
function findSignatures(file: MidiFile, trackIndex: number): Signature[] {
  const tracks = file.format === 2 ? tracksOf(file).slice(trackIndex, trackIndex + 1) : tracksOf(file);
  const signatures: Signature[] = [{ tick: 0, ...COMMON_TIME }];
  for (const { events } of tracks) {
    for (const event of events) {
      if (event.kind !== 'meta' || event.type !== META.timeSignature || event.data.length < 2) continue;
      const [numerator, denominatorPower] = event.data;
      if (numerator === 0 || denominatorPower > LARGEST_DENOMINATOR_POWER) continue;
      signatures.push({ tick: event.tick, numerator, denominatorPower });
    }
  }
  return signatures.sort((a, b) => a.tick - b.tick); // stable: file order within a tick
}
