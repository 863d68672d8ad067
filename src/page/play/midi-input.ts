import type { Play } from '../../core/protocol/index.js';

const NOTE_OFF = 0x80;
const NOTE_ON = 0x90;
const CONTROL_CHANGE = 0xb0;
const SUSTAIN = 64;
const ALL_SOUND_OFF = 120;
const ALL_NOTES_OFF = 123;

/**
 * The order for a MIDI message from a keyboard connected to the browser; undefined if it plays nothing. The browser has
 * resolved running status and clock bytes already.
 *
 * @see MIDI 1.0 Detailed Specification 4.2.1: a note-on with velocity 0 is a note-off
 * @example toPlay([0x90, 60, 80])  // { type: 'play', act: 'on', key: 60, velocity: 80 }
 */
export function toPlay(bytes: ArrayLike<number>): Play | undefined {
  if (bytes.length < 3) return undefined;
  const [status, data1, data2] = [bytes[0] & 0xf0, bytes[1] & 0x7f, bytes[2] & 0x7f];
  if (status === NOTE_OFF || (status === NOTE_ON && data2 === 0))
    return { type: 'play', act: 'off', key: data1 };
  if (status === NOTE_ON) return { type: 'play', act: 'on', key: data1, velocity: data2 };
  if (status !== CONTROL_CHANGE) return undefined;
  if (data1 === SUSTAIN) return { type: 'play', act: 'sustain', down: data2 >= 64 };
  if (data1 === ALL_SOUND_OFF || data1 >= ALL_NOTES_OFF) return { type: 'play', act: 'all-off' };
  return undefined;
}

/** Whether this browser supports MIDI keyboards. */
export function canListen(): boolean {
  return 'requestMIDIAccess' in navigator;
}

/**
 * Listens to every keyboard connected to the browser, now and later.
 * @param changed called with the names of connected keyboards
 */
export async function listen(play: (order: Play) => void, changed: (names: string[]) => void): Promise<void> {
  const access = await navigator.requestMIDIAccess();
  const attach = () => {
    const inputs = [...access.inputs.values()];
    for (const input of inputs) {
      input.onmidimessage = ({ data }) => {
        const order = data === null ? undefined : toPlay(data);
        if (order !== undefined) play(order);
      };
    }
    changed(inputs.filter((input) => input.state === 'connected').map((input) => input.name ?? 'keyboard'));
  };
  access.onstatechange = attach;
  attach();
}
