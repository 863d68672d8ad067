import type { MIDIController } from 'spessasynth_core';
import { CC } from '../../core/midi/index.js';
import { ChannelBank, type Player } from '../../core/sound/index.js';
import type { SoundFontStage } from './soundfont-stage.js';

const CHANNELS = 16;

/**
 * Plays the messages of one receiver with the sounds of a SoundFont, every note at its exact pitch.
 *
 * The library's pitch bend is scaled by 127/128 and cut to whole cents, so it never gets one. Bends become the tuning
 * of the channel, which takes any number of cents; tunings of single keys stay such. MPE zones are resolved before it
 * ({@link ChannelBank}), so its channels are plain ones.
 */
export class SoundFontPlayer implements Player {
  readonly #stage: SoundFontStage;
  readonly #receiver: number;
  readonly #bank: ChannelBank;
  /** Keys of each channel that were struck, and may sound. */
  readonly #struck = Array.from({ length: CHANNELS }, () => new Set<number>());
  readonly percussion = 0;

  /**
   * @param receiver its index among those that share the stage, from 0; the first makes the sound of all
   */
  constructor(stage: SoundFontStage, receiver: number) {
    this.#stage = stage;
    this.#receiver = receiver;
    const { synth } = stage;
    const set = (channel: number, controller: number, value: number) =>
      synth.controllerChange(this.#to(channel), controller as MIDIController, value);
    this.#bank = new ChannelBank({
      noteOn: (channel, key, velocity) => {
        if (!this.#bank.isPercussion(channel)) {
          this.#struck[channel].add(key);
          this.#tuneKey(channel, key);
        }
        stage.noteOn(this.#to(channel), key, velocity);
      },
      noteOff: (channel, key) => synth.noteOff(this.#to(channel), key),
      pitch: (channel) => this.#tune(channel),
      controller: set,
      other: (status, data1, data2) => {
        const channel = this.#to(status & 0x0f);
        const type = status & 0xf0;
        if (type === 0xc0) synth.programChange(channel, data1);
        else if (type === 0xd0) synth.channelPressure(channel, data1);
        else synth.polyPressure(channel, data1, data2);
      },
      allNotesOff: (channel) => set(channel, CC.allNotesOff, 0),
      allSoundOff: (channel) => set(channel, CC.allSoundOff, 0),
    });
  }

  channel(status: number, data1: number, data2: number): void {
    this.#bank.channel(status, data1, data2);
  }

  /** Tunings are handled here; the library may understand everything else. */
  system(bytes: Uint8Array): void {
    this.#bank.system(bytes);
    const isTuning = (bytes[1] === 0x7f || bytes[1] === 0x7e) && bytes[3] === 8;
    if (bytes[0] !== 0xf0 || isTuning) return;
    this.#stage.synth.systemExclusive(bytes.subarray(1), this.#stage.toChannel(this.#receiver, 0, false));
  }

  reset(message: Uint8Array): void {
    this.#bank.reset();
    for (const keys of this.#struck) keys.clear();
    if (this.#receiver === 0) this.#stage.reset(message);
  }

  finish(): void {
    for (let channel = 0; channel < CHANNELS; channel++) {
      for (const pedal of [CC.sustain, CC.sostenuto, CC.hold2]) this.#bank.channel(0xb0 | channel, pedal, 0);
      this.#bank.channel(0xb0 | channel, CC.allNotesOff, 0);
    }
  }

  add(left: Float64Array, right: Float64Array, from: number, to: number): void {
    if (this.#receiver === 0) this.#stage.add(left, right, from, to);
  }

  get isSilent(): boolean {
    return this.#stage.isSilent;
  }

  get unknownTunings(): number {
    return this.#bank.unknownTunings;
  }

  #to(channel: number): number {
    return this.#stage.toChannel(this.#receiver, channel, this.#bank.isPercussion(channel));
  }

  /** The pitch of a channel, or of keys on it, has changed. Drums aren't tuned. */
  #tune(channel: number): void {
    if (this.#bank.isPercussion(channel)) return;
    for (const key of this.#struck[channel]) this.#tuneKey(channel, key);
    this.#stage.tuneChannel(this.#to(channel), this.#bank.offsetCentsOf(channel));
  }

  #tuneKey(channel: number, key: number): void {
    const cents = this.#bank.centsOf(channel, key) - this.#bank.offsetCentsOf(channel);
    this.#stage.tuneKey(this.#to(channel), key, cents);
  }
}
