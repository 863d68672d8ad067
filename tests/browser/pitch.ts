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

/** Phase of the partial at `hertz` in the middle of a window about `at`. */
function phaseAt(samples: ArrayLike<number>, hertz: number, at: number, seconds: number): number {
  const length = Math.round(seconds * RATE);
  const first = Math.round((at - seconds / 2) * RATE);
  let [re, im] = [0, 0];
  for (let i = 0; i < length; i++) {
    const weight = 0.5 - 0.5 * Math.cos((2 * Math.PI * i) / length);
    const angle = (2 * Math.PI * hertz * i) / RATE;
    re += weight * samples[first + i] * Math.cos(angle);
    im -= weight * samples[first + i] * Math.sin(angle);
  }
  // Counted from the window's first sample; carried on to the moment asked for, as a partial of exactly `hertz` would go.
  return Math.atan2(im, re) + 2 * Math.PI * hertz * (at - first / RATE);
}
