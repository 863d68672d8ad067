import FFT from 'fft.js';

/** Frames of a window: 2.7 seconds at 48 kHz, so that partials a hertz and a half apart are told from each other. */
const WINDOW = 2 ** 17;
/** How far apart the two windows are whose phases are compared. */
const HOP = 2048;

/**
 * An ear that knows nothing of who made the sound: the frequency of the partial nearest to `hertz`, by the discrete
 * Fourier transform of two windows a little apart. The strongest bin within 12 cents says about where it is, the phase
 * it gains from one window to the next exactly.
 */
export function hearPartial(
  samples: ArrayLike<number>,
  rate: number,
  hertz: number,
  fromSeconds: number,
): number {
  const from = Math.round(fromSeconds * rate);
  const before = listen(samples, from);
  const after = listen(samples, from + HOP);
  const reach = hertz * (2 ** (12 / 1200) - 1);
  const first = Math.max(1, Math.floor(((hertz - reach) * WINDOW) / rate));
  const last = Math.ceil(((hertz + reach) * WINDOW) / rate);
  let bin = first;
  for (let one = first; one <= last; one++) if (strengthOf(before, one) > strengthOf(before, bin)) bin = one;
  const gained = phaseOf(after, bin) - phaseOf(before, bin);
  const about = (bin * HOP) / WINDOW;
  const turns = Math.round(about - gained / (2 * Math.PI));
  return ((gained / (2 * Math.PI) + turns) * rate) / HOP;
}

/** Strength of everything between two frequencies, in decibels below the strongest partial of all. */
export function hearBetween(
  samples: ArrayLike<number>,
  rate: number,
  lowHertz: number,
  highHertz: number,
  isWanted: (hertz: number) => boolean = () => true,
  fromSeconds = 0,
): number {
  const spectrum = listen(samples, Math.round(fromSeconds * rate));
  let loudest = 0;
  let found = 0;
  for (let bin = 1; bin < WINDOW / 2; bin++) {
    const strength = strengthOf(spectrum, bin);
    const hertz = (bin * rate) / WINDOW;
    loudest = Math.max(loudest, strength);
    if (hertz >= lowHertz && hertz <= highHertz && isWanted(hertz)) found = Math.max(found, strength);
  }
  return 20 * Math.log10(found / loudest);
}

/** Cents of a frequency from another. */
export function toCents(hertz: number, from: number): number {
  return 1200 * Math.log2(hertz / from);
}

/** Spectra of sounds that were listened to, by their first frame. */
const heard = new WeakMap<object, Map<number, number[]>>();

function listen(samples: ArrayLike<number>, from: number): number[] {
  const known = heard.get(samples) ?? new Map<number, number[]>();
  heard.set(samples, known);
  const spectrum = known.get(from) ?? transform(samples, from);
  known.set(from, spectrum);
  return spectrum;
}

/** Under a Blackman-Harris window, whose side lobes are 92 dB down (F. Harris, Proc. IEEE 66(1), 1978). */
function transform(samples: ArrayLike<number>, from: number): number[] {
  if (from + WINDOW > samples.length) throw new Error('The sound is too short for this ear.');
  const fft = new FFT(WINDOW);
  const weighted = Array.from({ length: WINDOW }, (_, i) => {
    const turn = (2 * Math.PI * i) / WINDOW;
    const weight =
      0.35875 - 0.48829 * Math.cos(turn) + 0.14128 * Math.cos(2 * turn) - 0.01168 * Math.cos(3 * turn);
    return weight * samples[from + i];
  });
  const spectrum = fft.createComplexArray();
  fft.realTransform(spectrum, weighted);
  return spectrum;
}

function strengthOf(spectrum: readonly number[], bin: number): number {
  return Math.hypot(spectrum[2 * bin], spectrum[2 * bin + 1]);
}

function phaseOf(spectrum: readonly number[], bin: number): number {
  return Math.atan2(spectrum[2 * bin + 1], spectrum[2 * bin]);
}
