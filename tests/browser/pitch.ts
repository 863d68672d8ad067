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
