import type { Timeline } from '../core/score/index.js';
import {
  formatWavHeader,
  type Player,
  type SampleFormat,
  SampleWriter,
  toMostFrames,
} from '../core/sound/index.js';
import { LeewayError } from '../io/leeway-error.js';
import { Performance } from './performance.js';

/** Options of rendering. */
export interface RenderOptions {
  readonly rate: number;
  readonly format: SampleFormat;
  /** Makes a new player for each receiver of a timeline, each time it is called. */
  readonly createPlayers: (timeline: Timeline, rate: number) => Player[];
  /** Gain in decibels; undefined brings the loudest moment to {@link PEAK_DB}. */
  readonly gainDb: number | undefined;
}

/** The result of rendering. */
export interface Rendered {
  readonly seconds: number;
  /** The gain applied, and the level of the loudest moment after it; minus infinity for silence. */
  readonly gainDb: number;
  readonly peakDb: number;
  /** Whether the requested gain would have been too loud. */
  readonly wasLowered: boolean;
  /** Omitted notes of percussion, and tuning changes of an unknown kind. */
  readonly percussion: number;
  readonly unknownTunings: number;
}

/** Receives the bytes and the progress. */
export interface RenderWatcher {
  write(bytes: Uint8Array): Promise<void>;
  /** Called with the share done, 0 to 1, now and then. Throws to stop. */
  progress(share: number): void;
}

/** Level of the loudest moment, in decibels from full scale. */
export const PEAK_DB = -1;

const BLOCK_FRAMES = 4096;
/** Blocks between two pauses for other work. */
const REST_BLOCKS = 8;

/**
 * Plays a piece twice: once to find its loudest moment, once to write it, so that it is never clipped and needs no
 * limiter. Memory doesn't grow with the length of the piece. Throws a LeewayError: SOUND_LONG, before anything is
 * written; and whatever `write` and `progress` throw.
 */
export async function render(
  timeline: Timeline,
  options: RenderOptions,
  watcher: RenderWatcher,
): Promise<Rendered> {
  const { rate, format } = options;
  const most = toMostFrames(rate, format);
  if ((timeline.lengthMs * rate) / 1000 > most) throw tooLong(timeline.lengthMs / 1000, most / rate);
  const first = await findPeak(timeline, options, watcher);
  if (first.frames > most) throw tooLong(first.frames / rate, most / rate);
  const loudest = first.peak === 0 ? Number.POSITIVE_INFINITY : fromDecibels(PEAK_DB) / first.peak;
  const wanted = options.gainDb === undefined ? loudest : fromDecibels(options.gainDb);
  const gain = Number.isFinite(loudest) ? Math.min(wanted, loudest) : 1;

  await watcher.write(formatWavHeader({ rate, format, frames: first.frames }));
  const writer = new SampleWriter(format);
  const { performance } = open(timeline, options);
  const [left, right] = [new Float64Array(BLOCK_FRAMES), new Float64Array(BLOCK_FRAMES)];
  for (let done = 0; done < first.frames; ) {
    performance.sound(left, right);
    const frames = Math.min(BLOCK_FRAMES, first.frames - done);
    await watcher.write(writer.format(left, right, frames, gain));
    done += frames;
    watcher.progress(0.5 + done / first.frames / 2);
  }
  return {
    seconds: first.frames / rate,
    gainDb: toDecibels(gain),
    peakDb: toDecibels(first.peak * gain),
    wasLowered: wanted > gain && options.gainDb !== undefined,
    percussion: sum(first.players, (player) => player.percussion),
    unknownTunings: sum(first.players, (player) => player.unknownTunings),
  };
}

async function findPeak(timeline: Timeline, options: RenderOptions, watcher: RenderWatcher) {
  const { performance, players } = open(timeline, options);
  const [left, right] = [new Float64Array(BLOCK_FRAMES), new Float64Array(BLOCK_FRAMES)];
  let peak = 0;
  for (let blocks = 0; !performance.isOver; blocks++) {
    performance.sound(left, right);
    for (let i = 0; i < BLOCK_FRAMES; i++) peak = Math.max(peak, Math.abs(left[i]), Math.abs(right[i]));
    if (blocks % REST_BLOCKS !== 0) continue;
    await new Promise(setImmediate);
    watcher.progress(performance.share / 2);
  }
  return { frames: performance.frame, peak, players };
}

function open(timeline: Timeline, { createPlayers, rate }: RenderOptions) {
  const players = createPlayers(timeline, rate);
  return { performance: new Performance(timeline, players, rate), players };
}

function tooLong(seconds: number, most: number): LeewayError {
  const minutes = (time: number) => `${Math.floor(time / 60)} minutes`;
  return new LeewayError({
    code: 'SOUND_LONG',
    message: `The piece lasts ${minutes(seconds)}; a WAV file of this kind holds at most 4 GiB, ${minutes(most)}.`,
    advice: 'Choose fewer bits or a lower rate, or cut the piece.',
  });
}

function fromDecibels(decibels: number): number {
  return 10 ** (decibels / 20);
}

function toDecibels(factor: number): number {
  return 20 * Math.log10(factor);
}

function sum(players: readonly Player[], toCount: (player: Player) => number): number {
  return players.reduce((total, player) => total + toCount(player), 0);
}
