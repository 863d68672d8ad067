import {
  CC,
  CHANNEL_PRESSURE,
  CONTROL_CHANGE,
  isNoteOff,
  isNoteOn,
  PITCH_BEND,
  PROGRAM_CHANGE,
} from '../midi/index.js';
import type { Piece } from './piece.js';
import { PERCUSSION_CHANNEL } from './roles.js';

/** What a receiver must have been sent to go on in the middle of a piece. Three bytes a message, as in a piece. */
export interface LeadIn {
  /** Sounds, wheels, controllers and pedals as they are there. */
  readonly controls: Uint8Array;
  /** The note-ons of the keys that are down there. */
  readonly notes: Uint8Array;
}

/** Controllers that mean something by what came before and after them: RPN, NRPN, data entry. */
const IN_ORDER: readonly number[] = [6, 38, 96, 97, 98, 99, 100, 101];

/**
 * The state of a piece's channels before one of its messages. Of messages that replace each other only the last is there.
 * Keys of percussion, and pressure on single keys, are left out.
 *
 * @param index of the message before which it is asked
 * @example toLeadIn(toPiece(file), 0).notes.length  // 0: nothing is down before the first message
 */
export function toLeadIn({ messages }: Pick<Piece, 'messages'>, index: number): LeadIn {
  const controls = new Map<string, Uint8Array>();
  const notes = new Map<number, Uint8Array>();
  for (let i = 0; i < index; i++) {
    const message = messages.subarray(3 * i, 3 * i + 3);
    const [status, data1, data2] = message;
    const slot = (status & 0x0f) * 128 + data1;
    if (isNoteOn(status, data2)) {
      if ((status & 0x0f) !== PERCUSSION_CHANNEL) notes.set(slot, message);
    } else if (isNoteOff(status, data2)) notes.delete(slot);
    else {
      const name = toName(status, data1, i);
      if (name === undefined) continue;
      // The last one comes where it was sent, after those before it.
      controls.delete(name);
      controls.set(name, message);
    }
  }
  return { controls: join(controls), notes: join(notes) };
}

/** Messages of the same name replace each other; `undefined`: it has no effect later. */
function toName(status: number, data1: number, index: number): string | undefined {
  switch (status & 0xf0) {
    case CONTROL_CHANGE:
      if (IN_ORDER.includes(data1) || data1 === CC.resetControllers) return `${index}`;
      return data1 >= CC.allSoundOff ? undefined : `${status} ${data1}`;
    case PROGRAM_CHANGE:
    case CHANNEL_PRESSURE:
    case PITCH_BEND:
      return `${status}`;
    default:
      return undefined;
  }
}

function join(messages: ReadonlyMap<unknown, Uint8Array>): Uint8Array {
  const all = new Uint8Array(3 * messages.size);
  [...messages.values()].forEach((message, i) => {
    all.set(message, 3 * i);
  });
  return all;
}
