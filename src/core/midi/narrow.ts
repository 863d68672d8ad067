import { fail, type Outcome, succeed } from '../outcome.js';

declare const narrow: unique symbol;

/** A MIDI channel, 0..15 (people count them 1..16). Made only by {@link parseChannel}; past it nobody checks again. */
export type Channel = number & { readonly [narrow]: 'Channel' };

/** A MIDI key number, 0..127; 60 is middle C, 69 the A of 440 Hz. Made only by {@link parseKey}. */
export type Key = number & { readonly [narrow]: 'Key' };

/**
 * A channel as code counts them.
 *
 * Fails with MIDI_CHANNEL on anything but an integer 0..15.
 *
 * @see MIDI 1.0 Detailed Specification 4.2.1, Channel Messages
 * @example parseChannel(16)  // { ok: false, problem: { code: 'MIDI_CHANNEL', … } }
 */
export function parseChannel(value: number): Outcome<Channel> {
  if (Number.isInteger(value) && value >= 0 && value <= 15) return succeed(value as Channel);
  return fail({
    code: 'MIDI_CHANNEL',
    message: `Expected a MIDI channel, 0 to 15, but found ${value}.`,
    advice: 'Channels are 0 to 15 inside the program and 1 to 16 in what people read and write.',
  });
}

/**
 * A key number.
 *
 * Fails with MIDI_KEY on anything but an integer 0..127.
 *
 * @see MIDI 1.0 Detailed Specification 4.2.1, Note Number
 * @example parseKey(60)  // { ok: true, value: 60 }: middle C
 */
export function parseKey(value: number): Outcome<Key> {
  if (Number.isInteger(value) && value >= 0 && value <= 127) return succeed(value as Key);
  return fail({
    code: 'MIDI_KEY',
    message: `Expected a MIDI key, 0 to 127, but found ${value}.`,
    advice: 'Use a whole number from 0 to 127; 60 is middle C.',
  });
}
