import type { Input, Output } from '@julusian/midi';
import { dataLength, END_OF_SYSEX, SYSEX, TIMING_CLOCK } from '../../core/midi/index.js';
import { closedError, messageError, sendError } from './port-problems.js';
import type { InputLink, OnBytes, OutputLink, PortPlace } from './port-system.js';

/** A link's view of its far end. */
export interface Watch {
  placeNow(): PortPlace | undefined;
  forget(): void;
}

/** Common to both links: they close once, and report it. */
class LibraryLink {
  readonly #port: Input | Output;
  readonly #watch: Watch;
  #onClosed: () => void = () => {};
  protected isOpen = true;

  constructor(port: Input | Output, watch: Watch) {
    this.#port = port;
    this.#watch = watch;
  }

  placeNow(): PortPlace | undefined {
    return this.isOpen ? this.#watch.placeNow() : undefined;
  }

  /** @param onClosed called once, when the link closes */
  onClose(onClosed: () => void): void {
    this.#onClosed = onClosed;
  }

  close(): void {
    if (!this.isOpen) return;
    this.isOpen = false;
    // Closing alone would leave a port that was made here in the system.
    this.#port.destroy();
    this.#watch.forget();
    this.#onClosed();
  }
}

/** An input of the library. */
export class LibraryInputLink extends LibraryLink implements InputLink {
  constructor(input: Input, onBytes: OnBytes, watch: Watch) {
    super(input, watch);
    input.on('messageBuffer', (_seconds, bytes) => {
      if (this.isOpen) onBytes(bytes);
    });
  }
}

/**
 * ALSA carries a long SysEx only in pieces. As one event it takes all its cells of the receiver's pool at once (200, of
 * 28 bytes): from 5 600 bytes on it is never delivered and blocks everything after it, and a USB device's buffer of 4
 * 096 bytes cut one of 5 000. Smaller pieces waste more cells: 5 000 bytes take 186 in these, 220 in pieces of 256.
 *
 * The library's encoder outputs a piece when its buffer is full, and that buffer is as long as the longest array so
 * far: so no array may be longer than this, and all pieces but the last must be exactly this long.
 */
const ALSA_PIECE_BYTES = 1024;

/**
 * This much is sent in a row. Before each further piece the receiver gets a moment to empty its pool, during which
 * nothing else is sent; one that doesn't read for 15 ms loses the rest, without a report.
 */
const ALSA_ROW_BYTES = 4096;
const ALSA_BREATH_MS = 3;

/** Longest SysEx that is sent. Dumps of synthesizers are shorter; one this long takes 21 s on a DIN cable. */
const SYSEX_LIMIT_BYTES = 65_536;

/** The library takes only a Buffer, and has copied it when it returns: short messages share these. */
const SHORT = [Buffer.alloc(0), Buffer.alloc(1), Buffer.alloc(2), Buffer.alloc(3)];

/** Used to wait for a given time. */
const NEVER_WOKEN = new Int32Array(new SharedArrayBuffer(4));

/** An output of the library. */
export class LibraryOutputLink extends LibraryLink implements OutputLink {
  readonly #output: Output;
  readonly #name: string;
  readonly #isAlsa: boolean;

  constructor(output: Output, name: string, platform: NodeJS.Platform, watch: Watch) {
    super(output, watch);
    this.#output = output;
    this.#name = name;
    this.#isAlsa = platform === 'linux';
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
        this.#sendLong(Buffer.from(bytes.buffer, bytes.byteOffset, bytes.length));
      }
    } catch (error) {
      throw sendError(this.#name, error);
    }
  }

  #sendLong(bytes: Buffer): void {
    if (!this.#isAlsa || bytes.length <= ALSA_PIECE_BYTES) {
      this.#output.sendMessage(bytes);
      return;
    }
    for (let at = 0; at < bytes.length; at += ALSA_PIECE_BYTES) {
      if (at >= ALSA_ROW_BYTES) Atomics.wait(NEVER_WOKEN, 0, 0, ALSA_BREATH_MS);
      this.#output.sendMessage(bytes.subarray(at, at + ALSA_PIECE_BYTES));
    }
  }
}

/**
 * Why bytes aren't one whole message that a port can carry, as the end of a sentence; undefined if they are.
 *
 * The systems below don't check: a byte above 127 among the data arrives as another byte, half a message prints to the
 * terminal or swallows the next one. F4, F5, F9 and FD, undefined in the standard, can't be carried by all of them, and
 * so are refused everywhere. Hot path: allocates nothing for a good message.
 *
 * @param sysexLimitBytes longest SysEx, F0 and F7 included
 * @see MIDI 1.0 Detailed Specification 4.2.1, Data Format
 * @example findFault(Uint8Array.of(0x90, 60), 5000)  // 'it has 2 bytes, and 3 are needed'
 */
export function findFault(bytes: Uint8Array, sysexLimitBytes: number): string | undefined {
  const { length } = bytes;
  if (length === 0) return 'it is empty';
  const status = bytes[0];
  if (status < 0x80) return 'it begins with a data byte';
  if (status === SYSEX) {
    if (length < 2 || bytes[length - 1] !== END_OF_SYSEX) return 'it is a SysEx without its end';
    if (length > sysexLimitBytes)
      return `it is a SysEx of ${length} bytes, and ${sysexLimitBytes} is the most this system carries`;
    return findStatus(bytes, length - 1);
  }
  if (isUndefined(status)) return 'its status byte is undefined in the standard';
  const wanted = 1 + (status >= TIMING_CLOCK ? 0 : dataLength(status));
  if (length !== wanted) return `it has ${length} bytes, and ${wanted} are needed`;
  return findStatus(bytes, length);
}

/** F4, F5, F9 and FD; and F7, which only ends a SysEx. */
function isUndefined(status: number): boolean {
  return status === 0xf4 || status === 0xf5 || status === 0xf9 || status === 0xfd || status === END_OF_SYSEX;
}

function findStatus(bytes: Uint8Array, end: number): string | undefined {
  for (let i = 1; i < end; i++) if (bytes[i] > 0x7f) return 'there is a status byte among its data';
  return undefined;
}
