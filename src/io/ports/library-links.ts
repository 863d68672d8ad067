import type { Input, Output } from '@julusian/midi';
import { closedError, messageError, sendError } from './port-problems.js';
import type { InputLink, OnBytes, OutputLink, PortPlace } from './port-system.js';
import { findFault } from './whole-message.js';

/** What a link knows of its far end. */
export interface Watch {
  placeNow(): PortPlace | undefined;
  /** Called once, when the link closes. */
  forget(): void;
}

/** What both links share: they are closed once, and tell it. */
class LibraryLink {
  readonly #port: Input | Output;
  readonly #watch: Watch;
  #told: () => void = () => {};
  protected isOpen = true;

  constructor(port: Input | Output, watch: Watch) {
    this.#port = port;
    this.#watch = watch;
  }

  placeNow(): PortPlace | undefined {
    return this.isOpen ? this.#watch.placeNow() : undefined;
  }

  /** @param told called once, when the link closes */
  onClose(told: () => void): void {
    this.#told = told;
  }

  close(): void {
    if (!this.isOpen) return;
    this.isOpen = false;
    // Closing alone would leave a port of our own in the system.
    this.#port.destroy();
    this.#watch.forget();
    this.#told();
  }
}

/** A way in through the library. */
export class LibraryInputLink extends LibraryLink implements InputLink {
  constructor(input: Input, onBytes: OnBytes, watch: Watch) {
    super(input, watch);
    input.on('messageBuffer', (_seconds, bytes) => {
      if (this.isOpen) onBytes(bytes);
    });
  }
}

/**
 * ALSA carries a long SysEx only in pieces. A whole one takes that many cells of the receiver's pool at once: from about
 * 5 500 bytes on it never gets through and blocks everything sent after it, and a device's own buffer of 4 096 bytes cut
 * one of 5 000. In pieces 40 000 bytes arrived whole. The library's encoder gives a piece out when its buffer is full,
 * and its buffer is as long as the longest array it was ever given: so no array may be longer than this, and all pieces
 * but the last must be just this long.
 */
const ALSA_PIECE_BYTES = 256;

/** Longest SysEx that is sent. Dumps of synthesizers are shorter; one this long takes 21 s on a DIN cable. */
const SYSEX_LIMIT_BYTES = 65_536;

/** The library takes a Buffer and nothing else, and has copied it when it returns: short messages share these. */
const SHORT = [Buffer.alloc(0), Buffer.alloc(1), Buffer.alloc(2), Buffer.alloc(3)];

/** A way out through the library. */
export class LibraryOutputLink extends LibraryLink implements OutputLink {
  readonly #output: Output;
  readonly #name: string;
  readonly #pieceBytes: number;

  constructor(output: Output, name: string, platform: NodeJS.Platform, watch: Watch) {
    super(output, watch);
    this.#output = output;
    this.#name = name;
    this.#pieceBytes = platform === 'linux' ? ALSA_PIECE_BYTES : SYSEX_LIMIT_BYTES;
  }

  send(bytes: Uint8Array): void {
    if (!this.isOpen) throw closedError(`The MIDI output "${this.#name}"`);
    const fault = findFault(bytes, SYSEX_LIMIT_BYTES);
    if (fault !== undefined) throw messageError(fault);
    try {
      if (bytes.length <= 3) {
        const short = SHORT[bytes.length];
        for (let i = 0; i < bytes.length; i++) short[i] = bytes[i];
        this.#output.sendMessage(short);
      } else {
        const whole = Buffer.from(bytes.buffer, bytes.byteOffset, bytes.length);
        for (let at = 0; at < whole.length; at += this.#pieceBytes)
          this.#output.sendMessage(whole.subarray(at, at + this.#pieceBytes));
      }
    } catch (error) {
      throw sendError(this.#name, error);
    }
  }
}
