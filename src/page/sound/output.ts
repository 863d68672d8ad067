/** What the instrument plays into, and the one slider. */
export interface Output {
  readonly input: AudioNode;
  readonly volume: AudioParam;
}

/**
 * Volume, then a limiter, then the loudspeakers. The limiter is last, so that no chord at any volume gets past it.
 * The strategies share it: nothing but the tuning differs between them.
 */
export function createOutput(context: BaseAudioContext): Output {
  const volume = context.createGain();
  const limiter = context.createDynamicsCompressor();
  limiter.threshold.value = -12;
  limiter.knee.value = 6;
  limiter.ratio.value = 20;
  limiter.attack.value = 0.002;
  limiter.release.value = 0.15;
  // Browsers add make-up gain to a compressor; this takes it back.
  const trim = context.createGain();
  trim.gain.value = 0.5;
  volume.connect(limiter).connect(trim).connect(context.destination);
  return { input: volume, volume: volume.gain };
}
