/** The instrument's destination, and its volume. */
export interface Output {
  readonly input: AudioNode;
  readonly volume: AudioParam;
}

/**
 * Volume, then a limiter, then the loudspeakers. The limiter is last, so that no chord at any volume exceeds it. The
 * strategies share it: they differ in tuning only.
 */
export function createOutput(context: BaseAudioContext): Output {
  const volume = context.createGain();
  const limiter = context.createDynamicsCompressor();
  limiter.threshold.value = -12;
  limiter.knee.value = 6;
  limiter.ratio.value = 20;
  limiter.attack.value = 0.002;
  limiter.release.value = 0.15;
  // Browsers add make-up gain to a compressor; this cancels it.
  const trim = context.createGain();
  trim.gain.value = 0.5;
  volume.connect(limiter).connect(trim).connect(context.destination);
  return { input: volume, volume: volume.gain };
}
