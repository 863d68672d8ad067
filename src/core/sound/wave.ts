import type { Voice } from '../theory/index.js';

/** Points of one cycle: 128 for the highest harmonic, so that reading between them is right to 137 dB. */
const POINTS = 2048;
/** Extra points before and behind the cycle, so that reading needs no check at its ends. */
const BEFORE = 1;
const BEHIND = 2;
/**
 * The highest partial is below this share of half the sampling rate: so a note can be bent up by more than a semitone
 * before it needs a wave with fewer harmonics.
 */
const HEADROOM = 0.9;
/** How many recipes an octave a voice has: as on the page, one for every three semitones. */
const REGIONS_PER_OCTAVE = 4;

/** One cycle of a tone, summed from its harmonics. */
export interface Wave {
  readonly harmonics: number;
  /** The points that {@link readCycle} reads between. */
  readonly points: Float32Array;
}

/** How many harmonics of a note of `hertz` stay below half the sampling rate. @example countHarmonics(440, 48_000)  // 49 */
export function countHarmonics(hertz: number, rate: number): number {
  return Math.floor((HEADROOM * rate) / 2 / hertz);
}

/**
 * A cycle at a phase, by Lagrange's cubic through the four points around it. Hot path: allocates nothing.
 * @param points of a {@link Wave}
 * @param phase 0 to just below 1
 */
export function readCycle(points: Float32Array, phase: number): number {
  const place = phase * POINTS;
  const whole = place | 0;
  const t = place - whole;
  const a = points[whole];
  const b = points[whole + 1];
  const c = points[whole + 2];
  const d = points[whole + 3];
  const third = (d - a) / 6 + (b - c) / 2;
  const second = (a + c) / 2 - b;
  const first = c - a / 3 - b / 2 - d / 6;
  return b + t * (first + t * (second + t * third));
}

/** The waves of one voice, each made when first needed. */
export class WaveShelf {
  readonly #voice: Voice;
  readonly #most: number;
  readonly #waves = new Map<number, Wave>();

  constructor(voice: Voice) {
    this.#voice = voice;
    this.#most = voice.harmonics(440).length;
  }

  /** The recipe of a pitch: a note's recipe never changes, so that its timbre doesn't jump when it is bent. */
  toRegion(hertz: number): number {
    return Math.round(REGIONS_PER_OCTAVE * Math.log2(hertz / 440));
  }

  /**
   * The wave of a region with at most this many harmonics. All phases begin at 0, so a tone begins without a click. The
   * loudest point of the whole wave is 1; a wave with fewer harmonics has them at the same strength.
   */
  toWave(region: number, most: number): Wave {
    const harmonics = Math.min(Math.max(most, 0), this.#most);
    const name = region * 1000 + harmonics;
    let wave = this.#waves.get(name);
    if (wave === undefined) {
      const strengths = this.#voice.harmonics(440 * 2 ** (region / REGIONS_PER_OCTAVE));
      const whole = sum(strengths, strengths.length);
      const peak = whole.reduce((loudest, point) => Math.max(loudest, Math.abs(point)), 0);
      wave = { harmonics, points: sum(strengths, harmonics).map((point) => point / peak) };
      this.#waves.set(name, wave);
    }
    return wave;
  }
}

function sum(strengths: readonly number[], count: number): Float32Array {
  const points = new Float32Array(POINTS + BEFORE + BEHIND);
  for (let n = 1; n <= count; n++) {
    for (let i = 0; i < points.length; i++) {
      // Reduced to one cycle first: an angle of many turns would lose digits.
      const place = (((n * (i - BEFORE)) % POINTS) + POINTS) % POINTS;
      points[i] += strengths[n - 1] * Math.sin((2 * Math.PI * place) / POINTS);
    }
  }
  return points;
}
