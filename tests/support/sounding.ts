import { Ensemble } from '../../src/core/sound/index.js';
import { toVoice } from '../../src/core/theory/index.js';

/** Both sides of a sound. */
export interface Sides {
  readonly left: Float64Array;
  readonly right: Float64Array;
}

/** One thing an ensemble is told, and when. */
export type EventLine = readonly [seconds: number, ...bytes: readonly number[]];

/** What an ensemble sounds when it is told these things, cut at blocks that have nothing to do with them. */
export function soundOf(told: readonly EventLine[], seconds: number, voice = 'reed', rate = 48_000): Sides {
  const ensemble = new Ensemble(toVoice(voice), rate);
  const frames = Math.round(seconds * rate);
  const sides = { left: new Float64Array(frames), right: new Float64Array(frames) };
  let frame = 0;
  for (const [at, ...bytes] of told) {
    const due = Math.round(at * rate);
    if (due > frame) ensemble.add(sides.left, sides.right, frame, due);
    frame = due;
    if (bytes[0] === 0xf0) ensemble.system(Uint8Array.from(bytes));
    else ensemble.channel(bytes[0], bytes[1], bytes[2] ?? 0);
  }
  ensemble.add(sides.left, sides.right, frame, frames);
  return sides;
}

/** The loudest moment of a stretch. */
export function peakOf(samples: Float64Array, from: number, to: number, rate = 48_000): number {
  return samples
    .subarray(Math.round(from * rate), Math.round(to * rate))
    .reduce((peak, sample) => Math.max(peak, Math.abs(sample)), 0);
}
