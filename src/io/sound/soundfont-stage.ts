import type { SpessaSynthProcessor } from 'spessasynth_core';

/** The library makes sound in blocks of at most this many frames, within which nothing moves. */
const BLOCK = 128;
/** A sample this soft is silence: 100 dB below full scale. */
const SILENT = 1e-5;
/** See {@link SoundFontStage.add}. */
const NUDGE_CENTS = 2;
/** The library's channels for a receiver: two groups of sixteen. */
const CHANNELS_EACH = 32;

/**
 * One synth of the library, shared by receivers, since reverb costs most and is the same for all. Its channels take any
 * pitch.
 */
export class SoundFontStage {
  readonly synth: SpessaSynthProcessor;
  /** The tuning of each channel from 12 equal, in cents, if any. */
  readonly #cents = new Map<number, number>();
  /** Channels with a sounding note that starts, or changes its pitch. */
  readonly #moved = new Set<number>();
  readonly #tunedKeys = new Map<number, number>();
  readonly #left = new Float32Array(BLOCK);
  readonly #right = new Float32Array(BLOCK);
  #isQuiet = true;

  constructor(synth: SpessaSynthProcessor, receivers: number) {
    this.synth = synth;
    while (synth.midiChannels.length < CHANNELS_EACH * receivers) synth.createMIDIChannel();
    // Added channels have no volume, and are all drum kits.
    synth.reset();
    this.#setDrums();
  }

  /**
   * The library's channel for one of a receiver. Every tenth channel of sixteen is a fixed drum kit. So a receiver's
   * tenth channel goes there if it is percussion, else to the first of the second sixteen.
   */
  toChannel(receiver: number, channel: number, isPercussion: boolean): number {
    return CHANNELS_EACH * receiver + (channel === 9 && !isPercussion ? 16 : channel);
  }

  get isSilent(): boolean {
    return this.#isQuiet && this.synth.voiceCount === 0;
  }

  noteOn(channel: number, key: number, velocity: number): void {
    this.#isQuiet = false;
    this.synth.noteOn(channel, key, velocity);
    if (!this.synth.midiChannels[channel].drumChannel) this.#moved.add(channel);
  }

  /** Tunes a channel, in cents from 12 equal, without limit. */
  tuneChannel(channel: number, cents: number): void {
    this.#cents.set(channel, cents);
    if (this.synth.midiChannels[channel].voiceCount > 0) this.#moved.add(channel);
    else this.#setTuning(channel, 0);
  }

  /** Sends the library the tuning of a key, under the program of its channel, if it differs. */
  tuneKey(channel: number, key: number, cents: number): void {
    const program = this.synth.midiChannels[channel].preset?.program ?? 0;
    const place = 128 * program + key;
    if (Math.abs((this.#tunedKeys.get(place) ?? 100 * key) - cents) < 1e-6) return;
    this.#tunedKeys.set(place, cents);
    this.synth.systemExclusive([0x7f, 0x7f, 8, 2, program, 1, key, ...toTuningWord(cents), 0xf7]);
  }

  /** Resets everything, as the message says. */
  reset(message: Uint8Array): void {
    this.synth.systemExclusive(message.subarray(1));
    this.#tunedKeys.clear();
    this.#moved.clear();
    this.#cents.clear();
    for (let channel = 0; channel < this.synth.midiChannels.length; channel++) this.#setTuning(channel, 0);
    this.#setDrums();
  }

  /**
   * Adds the sound to both sides.
   *
   * The library recomputes a note's pitch only when it has moved past a whole cent, counted from that of its sample. So
   * where a note starts or moves, its channel is tuned two cents too high for one frame, a fiftieth of a millisecond,
   * and then right.
   */
  add(left: Float64Array, right: Float64Array, from: number, to: number): void {
    let at = from;
    if (this.#moved.size > 0 && at < to) {
      for (const channel of this.#moved) this.#setTuning(channel, NUDGE_CENTS);
      this.#addBlock(left, right, at, 1);
      at += 1;
      for (const channel of this.#moved) this.#setTuning(channel, 0);
      this.#moved.clear();
    }
    for (; at < to; at += BLOCK) this.#addBlock(left, right, at, Math.min(BLOCK, to - at));
  }

  /** Makes the tenth of each sixteen a drum kit, and no other. */
  #setDrums(): void {
    this.synth.midiChannels.forEach((channel, i) => {
      const isKit = i % 16 === 9;
      if (channel.drumChannel !== isKit) channel.setDrums(isKit);
    });
  }

  #addBlock(left: Float64Array, right: Float64Array, at: number, frames: number): void {
    this.#left.fill(0);
    this.#right.fill(0);
    this.synth.process(this.#left, this.#right, 0, frames);
    let peak = 0;
    for (let i = 0; i < frames; i++) {
      left[at + i] += this.#left[i];
      right[at + i] += this.#right[i];
      peak = Math.max(peak, Math.abs(this.#left[i]), Math.abs(this.#right[i]));
    }
    this.#isQuiet = peak < SILENT;
  }

  /** As a parameter outside the messages, which no file can reach. */
  #setTuning(channel: number, nudge: number): void {
    const cents = (this.#cents.get(channel) ?? 0) + nudge;
    this.synth.midiChannels[channel].setSystemParameter('fineTune', cents);
  }
}

/** The library's step of a tuning, in semitones; exactly it is 1/16384. */
const STEP_SEMITONES = 61e-6;
const MOST_STEPS = 0x3fff;

/**
 * The tuning word whose pitch in the library is nearest: to 0.003 cents, and 0.03 just below a whole semitone. 6050 is
 * [60, 64, 5]: 8197 of its steps.
 */
function toTuningWord(cents: number): [semitone: number, high: number, low: number] {
  const semitone = Math.floor(cents / 100);
  const steps = Math.round((cents / 100 - semitone) / STEP_SEMITONES);
  if (steps > (1 / STEP_SEMITONES + MOST_STEPS) / 2) return [semitone + 1, 0, 0];
  const word = Math.min(steps, MOST_STEPS);
  return [semitone, word >> 7, word & 0x7f];
}
