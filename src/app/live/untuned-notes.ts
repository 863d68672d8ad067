import { CC, CONTROL_CHANGE, HOLDING_PEDALS, isNoteOff, isNoteOn, NOTE_OFF } from '../../core/midi/index.js';

/** Release velocity of a note-off nobody played. */
const NO_RELEASE_VELOCITY = 64;
/** Most note-ons counted for a key. */
const MOST = 255;

type Send = (status: number, data1: number, data2: number) => void;

/**
 * What is held on untuned channels, whose messages pass unchanged and which no outlet knows of: keys, and pedals that
 * hold notes whose keys are up. Hot path: `track` allocates nothing.
 *
 * @example
 * const untuned = new UntunedNotes();
 * untuned.track(0x99, 36, 80);
 * untuned.release((status, key, velocity) => sink.channel(status, key, velocity));
 * sink.sent  // ['89 24 40']
 */
export class UntunedNotes {
  /** By channel and key: note-ons without a note-off yet. Some receivers want one for each. */
  readonly #keys = new Uint8Array(16 * 128);
  /** By channel: a bit for each pedal that is down. */
  readonly #pedals = new Uint8Array(16);

  /** Whether anything was pressed since everything was released. */
  #isTouched = false;
  /** A bit for each channel on which anything was or may have been pressed. */
  #channels = 0;

  track(status: number, data1: number, data2: number): void {
    const channel = status & 0x0f;
    const slot = (channel << 7) | data1;
    if (isNoteOn(status, data2)) {
      this.#keys[slot] = Math.min(MOST, this.#keys[slot] + 1);
      this.#touch(channel);
    } else if (isNoteOff(status, data2)) this.#keys[slot] = Math.max(0, this.#keys[slot] - 1);
    else if ((status & 0xf0) === CONTROL_CHANGE) {
      const bit = 1 << HOLDING_PEDALS.indexOf(data1);
      if (data1 === CC.resetControllers) this.#pedals[channel] = 0;
      else if (!HOLDING_PEDALS.includes(data1)) return;
      else if (data2 < 64) this.#pedals[channel] &= ~bit;
      else {
        this.#pedals[channel] |= bit;
        this.#touch(channel);
      }
    }
  }

  /** An earlier run may have pressed something on the channel, 0..15: `silence` counts it in. */
  mayUse(channel: number): void {
    this.#channels |= 1 << channel;
  }

  /**
   * Silences every channel on which anything was or may have been pressed: for a receiver whose cable was pulled, and
   * which may still sound what was released meanwhile.
   */
  silence(send: Send): void {
    for (let channel = 0; channel < 16; channel++) {
      if ((this.#channels & (1 << channel)) === 0) continue;
      for (const pedal of HOLDING_PEDALS) send(CONTROL_CHANGE | channel, pedal, 0);
      send(CONTROL_CHANGE | channel, CC.allNotesOff, 0);
      send(CONTROL_CHANGE | channel, CC.allSoundOff, 0);
    }
  }

  #touch(channel: number): void {
    this.#isTouched = true;
    this.#channels |= 1 << channel;
  }

  /** Releases all of it: note-offs, then the pedals. */
  release(send: Send): void {
    if (!this.#isTouched) return;
    this.#isTouched = false;
    this.#keys.forEach((count, slot) => {
      for (let left = count; left > 0; left--) send(NOTE_OFF | (slot >> 7), slot & 0x7f, NO_RELEASE_VELOCITY);
    });
    this.#pedals.forEach((down, channel) => {
      HOLDING_PEDALS.forEach((pedal, i) => {
        if ((down & (1 << i)) !== 0) send(CONTROL_CHANGE | channel, pedal, 0);
      });
    });
    this.#keys.fill(0);
    this.#pedals.fill(0);
  }
}
