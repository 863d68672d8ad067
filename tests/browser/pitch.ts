/** Samples a second of what is measured. */
export const RATE = 48_000;

/**
 * The frequency of one partial near `hertz`, measured about the moment `at`: the phase it gains between two windows.
 *
 * Each window is a Hann window of `seconds`, so that partials further away than 4 ÷ `seconds` hertz don't disturb it.
 */
export function measureHertz(samples: ArrayLike<number>, hertz: number, at: number, seconds: number): number {
  // Short enough that a note two semitones off is still told from its neighbour turn.
  const apart = seconds / 16;
  const before = phaseAt(samples, hertz, at - apart / 2, seconds);
  const after = phaseAt(samples, hertz, at + apart / 2, seconds);
  const expected = 2 * Math.PI * hertz * apart;
  const turns = Math.round((expected - (after - before)) / (2 * Math.PI));
  return (after - before + 2 * Math.PI * turns) / (2 * Math.PI * apart);
}

/** Cents of a frequency from another. */
export function toCents(hertz: number, from: number): number {
  return 1200 * Math.log2(hertz / from);
}

/** How much there is from 11 to 20 kHz about a moment, beyond the 32 harmonics of a note below 340 Hz. */
export function measureAbove(samples: ArrayLike<number>, at: number): number {
  let sum = 0;
  for (let hertz = 11_000; hertz <= 20_000; hertz += 500)
    sum += Math.hypot(...project(samples, hertz, at, 0.1));
  return sum;
}

/** Level about a moment: root of the mean square over 12 ms. */
export function measureLevel(samples: ArrayLike<number>, at: number): number {
  const length = Math.round(0.012 * RATE);
  const first = Math.round(at * RATE - length / 2);
  let sum = 0;
  for (let i = first; i < first + length; i++) sum += samples[i] ** 2;
  return Math.sqrt(sum / length);
}

/** Phase of the partial at `hertz` in the middle of a window about `at`. */
function phaseAt(samples: ArrayLike<number>, hertz: number, at: number, seconds: number): number {
  const [re, im] = project(samples, hertz, at, seconds);
  const first = Math.round((at - seconds / 2) * RATE);
  // Counted from the window's first sample; carried on to the moment asked for, as a partial of exactly `hertz` would go.
  return Math.atan2(im, re) + 2 * Math.PI * hertz * (at - first / RATE);
}

/** The partial at `hertz` under a Hann window of `seconds` about `at`, as a complex number counted from its first sample. */
function project(samples: ArrayLike<number>, hertz: number, at: number, seconds: number): [number, number] {
  const length = Math.round(seconds * RATE);
  const first = Math.round((at - seconds / 2) * RATE);
  let [re, im] = [0, 0];
  for (let i = 0; i < length; i++) {
    const weight = 0.5 - 0.5 * Math.cos((2 * Math.PI * i) / length);
    const angle = (2 * Math.PI * hertz * i) / RATE;
    re += weight * samples[first + i] * Math.cos(angle);
    im -= weight * samples[first + i] * Math.sin(angle);
  }
  return [re, im];
}

/** A level as decibels below full scale. @example toDecibels(0.1)  // -20 */
export function toDecibels(level: number): number {
  return 20 * Math.log10(level);
}

/** Above this, in hertz, no note of a choir has harmonics: the highest has its 32nd below. */
const CLICK_HERTZ = 18_000;
const TAPS = 255;

/**
 * The peak of the loudest click between two moments, as the height of an impulse that would sound as loud above 18 kHz.
 *
 * A windowed sinc (Blackman-Harris, side lobes 92 dB down) leaves what is above; an impulse of height 1 comes out of it
 * with the share of the band that it keeps. A step, as where a note is cut off, counts for less than its height.
 */
export function findClick(samples: ArrayLike<number>, from: number, to: number): number {
  const cut = CLICK_HERTZ / RATE;
  const middle = (TAPS - 1) / 2;
  const taps = Array.from({ length: TAPS }, (_, i) => {
    const n = i - middle;
    const low = n === 0 ? 2 * cut : Math.sin(2 * Math.PI * cut * n) / (Math.PI * n);
    const turn = (2 * Math.PI * i) / (TAPS - 1);
    const weight =
      0.35875 - 0.48829 * Math.cos(turn) + 0.14128 * Math.cos(2 * turn) - 0.01168 * Math.cos(3 * turn);
    return weight * ((n === 0 ? 1 : 0) - low);
  });
  let peak = 0;
  for (let at = Math.round(from * RATE); at < to * RATE; at++) {
    let sum = 0;
    for (let i = 0; i < TAPS; i++) sum += taps[i] * (samples[at + i - middle] ?? 0);
    peak = Math.max(peak, Math.abs(sum));
  }
  return peak / (1 - 2 * cut);
}
