import { CC, CONTROL_CHANGE, NOTE_OFF, NOTE_ON } from '../../core/midi/index.js';

const RELEASE_VELOCITY = 64;
const CHANNELS = 16;

interface Keyboard {
  readonly channel: number;
  readonly keys: Set<number>;
  isSustained: boolean;
}

/**
 * The keyboards of all who play on the page. Each has a separate channel; beyond sixteen they share, and a key or pedal
 * that two hold is released when both have. What a viewer holds ends when it goes.
 */
export class PageKeys {
  readonly #play: (bytes: Uint8Array) => void;
  readonly #keyboards = new Map<number, Keyboard>();

  /** @param play takes a whole message, at once */
  constructor(play: (bytes: Uint8Array) => void) {
    this.#play = play;
  }

  press(viewer: number, key: number, velocity: number): void {
    const { channel, keys } = this.#keyboardOf(viewer);
    // A key already down is released and struck again: two note-ons would need two note-offs, and it comes up only
    // once.
    if (keys.has(key) || this.#others(viewer, channel).some((one) => one.keys.has(key)))
      this.#play(Uint8Array.of(NOTE_OFF | channel, key, RELEASE_VELOCITY));
    keys.add(key);
    this.#play(Uint8Array.of(NOTE_ON | channel, key, velocity));
  }

  lift(viewer: number, key: number): void {
    const { channel, keys } = this.#keyboardOf(viewer);
    if (!keys.delete(key)) return;
    if (this.#others(viewer, channel).some((one) => one.keys.has(key))) return;
    this.#play(Uint8Array.of(NOTE_OFF | channel, key, RELEASE_VELOCITY));
  }

  sustain(viewer: number, isDown: boolean): void {
    const keyboard = this.#keyboardOf(viewer);
    if (keyboard.isSustained === isDown) return;
    keyboard.isSustained = isDown;
    if (!isDown && this.#others(viewer, keyboard.channel).some((one) => one.isSustained)) return;
    this.#play(Uint8Array.of(CONTROL_CHANGE | keyboard.channel, CC.sustain, isDown ? 127 : 0));
  }

  liftAll(viewer: number): void {
    const keyboard = this.#keyboards.get(viewer);
    if (keyboard === undefined) return;
    for (const key of [...keyboard.keys]) this.lift(viewer, key);
    this.sustain(viewer, false);
  }

  leave(viewer: number): void {
    this.liftAll(viewer);
    this.#keyboards.delete(viewer);
  }

  leaveAll(): void {
    for (const viewer of [...this.#keyboards.keys()]) this.leave(viewer);
  }

  #keyboardOf(viewer: number): Keyboard {
    let keyboard = this.#keyboards.get(viewer);
    if (keyboard === undefined) {
      keyboard = { channel: this.#freest(), keys: new Set(), isSustained: false };
      this.#keyboards.set(viewer, keyboard);
    }
    return keyboard;
  }

  #others(viewer: number, channel: number): Keyboard[] {
    return [...this.#keyboards]
      .filter(([id, one]) => id !== viewer && one.channel === channel)
      .map(([, one]) => one);
  }

  /** The channel with the fewest players. */
  #freest(): number {
    const players = new Array<number>(CHANNELS).fill(0);
    for (const { channel } of this.#keyboards.values()) players[channel]++;
    return players.indexOf(Math.min(...players));
  }
}
