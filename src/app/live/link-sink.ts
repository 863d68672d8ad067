import type { MidiSink } from '../../core/midi/index.js';
import { LeewayError } from '../../io/leeway-error.js';
import type { OutputLink } from '../../io/ports/index.js';

/** Told every message that went out, just after; for takes. The bytes are reused: copy what is to be kept. */
export type OnSent = (bytes: Uint8Array) => void;

/**
 * The end of the note path: messages to the link of a port, if there is one.
 *
 * Never throws. When the link refuses a message, the error is kept and everything after it is dropped until `clear`:
 * the receiver's state is in doubt then, and the owner drains it as soon as the running message has been worked off.
 * A message that can't be carried by any port, such as a SysEx beyond the limit, is only counted: nothing of it went out.
 * Hot path: allocates nothing.
 */
export class LinkSink implements MidiSink {
  link: OutputLink | undefined;
  onSent: OnSent | undefined;
  /** Why the link refused a message; `undefined` while it is in order. */
  error: LeewayError | undefined;
  sentMessages = 0;
  sentBytes = 0;
  /** Messages for a port that wasn't there. */
  unheardMessages = 0;
  /** Messages the link refused, and those that were not tried after it had. */
  refusedMessages = 0;
  readonly #two = new Uint8Array(2);
  readonly #three = new Uint8Array(3);

  channel(status: number, data1: number, data2: number): void {
    const bytes = (status & 0xe0) === 0xc0 ? this.#two : this.#three;
    bytes[0] = status;
    bytes[1] = data1;
    if (bytes === this.#three) bytes[2] = data2;
    this.#send(bytes);
  }

  system(bytes: Uint8Array): void {
    this.#send(bytes);
  }

  /** Messages are tried again. */
  clear(): void {
    this.error = undefined;
  }

  #send(bytes: Uint8Array): void {
    const { link } = this;
    if (link === undefined) {
      this.unheardMessages++;
      return;
    }
    if (this.error !== undefined) {
      this.refusedMessages++;
      return;
    }
    try {
      link.send(bytes);
    } catch (error) {
      this.refusedMessages++;
      if (error instanceof LeewayError && error.code === 'PORT_MESSAGE') return;
      this.error = error instanceof LeewayError ? error : toRefusal(error);
      return;
    }
    this.sentMessages++;
    this.sentBytes += bytes.length;
    this.onSent?.(bytes);
  }
}

/** A fault of the link's own, as an error people can do something about. */
function toRefusal(cause: unknown): LeewayError {
  const message = 'The MIDI port refused a message.';
  return new LeewayError(
    { code: 'PORT_SEND', message, advice: 'It is opened again as soon as it takes messages.' },
    { cause },
  );
}
