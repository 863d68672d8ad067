import { join } from 'node:path';
import { type Division, META, type TrackEvent } from '../../core/midi/index.js';
import { GrowingMidiFile, type OpenNew } from '../../io/files/index.js';
import { MessageBuffer } from './message-buffer.js';
import { toTakeFileName } from './take-folder.js';

/** 20 ticks a millisecond, 50 µs each: 10 000 to a quarter note, at 120 quarter notes a minute. */
export const TAKE_TICKS_PER_MS = 20;
const DIVISION: Division = { kind: 'ppq', ticksPerQuarter: 10_000 };
const TEMPO = Uint8Array.of(0x07, 0xa1, 0x20); // 500 000 µs a quarter note

/** What goes through one port during a take, and the file it is written to. */
export class TakeFile {
  readonly direction: 'in' | 'out';
  readonly port: string;
  /** Its name in the folder of the take. */
  readonly name: string;
  /** What is still to be written. */
  readonly buffer = new MessageBuffer();
  messages = 0;
  #file: GrowingMidiFile | undefined;

  constructor(direction: 'in' | 'out', number: number, port: string) {
    this.direction = direction;
    this.port = port;
    this.name = toTakeFileName(direction, number, port);
  }

  /** Writes what has come since the last time; the first time, makes the file. Rejects with a LeewayError. */
  async write(folder: string, openNew?: OpenNew): Promise<void> {
    this.#file ??= await GrowingMidiFile.create(join(folder, this.name), DIVISION, this.#toHead(), openNew);
    const events = this.buffer.empty(TAKE_TICKS_PER_MS);
    await this.#file.append(events);
    this.messages += events.length;
  }

  /** Nothing more comes; the file is written anew, without the seams. Rejects with a LeewayError. */
  async finish(): Promise<void> {
    await this.#file?.finish();
  }

  /** Nothing more comes; what is there stays. */
  async abandon(): Promise<void> {
    await this.#file?.abandon();
  }

  #toHead(): TrackEvent[] {
    return [
      { kind: 'meta', tick: 0, type: META.trackName, data: new TextEncoder().encode(this.port) },
      { kind: 'meta', tick: 0, type: META.tempo, data: TEMPO },
    ];
  }
}
