import { mkdir, readdir } from 'node:fs/promises';
import { join } from 'node:path';
import { type Division, META, type TrackEvent } from '../../core/midi/index.js';
import { GrowingMidiFile, type OpenNew, removeLeftovers } from '../../io/files/index.js';
import { LeewayError } from '../../io/leeway-error.js';
import { MessageBuffer } from './message-buffer.js';

const NAME = /^\d{4}-\d\d-\d\d \d\d-\d\d-\d\d( \d+)?$/;

/** Most takes of one second. */
const MOST_OF_A_SECOND = 100;

/** Most characters of a port's name in a file name. */
const MOST_LETTERS = 60;

/**
 * Makes the folder of a take, named by its date and time, inside `directory`, which is made if it is missing. An
 * existing folder is left alone: the next one is called `… 2`. Throws a LeewayError: FOLDER_FAILED.
 * @param startedAt local time counts
 * @returns its path
 * @example await makeTakeFolder('takes', new Date(2026, 2, 1, 20, 15, 9))  // 'takes/2026-03-01 20-15-09'
 */
export async function makeTakeFolder(directory: string, startedAt: Date): Promise<string> {
  const name = toName(startedAt);
  try {
    await mkdir(directory, { recursive: true });
    for (let i = 1; ; i++) {
      const folder = join(directory, i === 1 ? name : `${name} ${i}`);
      try {
        await mkdir(folder);
        return folder;
      } catch (error) {
        const isTaken = error instanceof Error && 'code' in error && error.code === 'EEXIST';
        if (!isTaken || i === MOST_OF_A_SECOND) throw error;
      }
    }
  } catch (error) {
    const reason = error instanceof Error ? error.message : String(error);
    throw new LeewayError(
      {
        code: 'FOLDER_FAILED',
        message: `Can't make a folder for the take in ${directory}: ${reason}.`,
        advice: 'Choose a folder you may write in.',
      },
      { cause: error },
    );
  }
}

/**
 * Removes from the takes in `directory` the temporary files of killed programs, which no take needs, as {@link
 * removeLeftovers} does. Other folders are left alone. Never rejects.
 */
export async function clearTakes(directory: string): Promise<void> {
  const entries = await readdir(directory, { withFileTypes: true }).catch(() => []);
  for (const entry of entries)
    if (entry.isDirectory() && NAME.test(entry.name)) await removeLeftovers(join(directory, entry.name));
}

/**
 * The name of a port's file in a take: valid on every system, and different for each number.
 * @param number counted from 1, inputs and outlets apart
 * @example toTakeFileName('in', 1, 'Stage Piano: MIDI 1')  // 'in-1 Stage Piano_ MIDI 1.mid'
 */
export function toTakeFileName(direction: 'in' | 'out', number: number, port: string): string {
  const safe = [...port.replace(/[^\p{L}\p{N} ._-]/gu, '_')].slice(0, MOST_LETTERS).join('').trim();
  return `${direction}-${number} ${safe}.mid`;
}

function toName(date: Date): string {
  const two = (value: number): string => String(value).padStart(2, '0');
  const day = [date.getFullYear(), two(date.getMonth() + 1), two(date.getDate())].join('-');
  return `${day} ${[date.getHours(), date.getMinutes(), date.getSeconds()].map(two).join('-')}`;
}

/** 20 ticks a millisecond, 50 µs each: 10 000 to a quarter note, at 120 quarter notes a minute. */
export const TAKE_TICKS_PER_MS = 20;
const DIVISION: Division = { kind: 'ppq', ticksPerQuarter: 10_000 };
const TEMPO = Uint8Array.of(0x07, 0xa1, 0x20); // 500 000 µs a quarter note

/** The messages of one port during a take, and their file. */
export class TakeFile {
  readonly direction: 'in' | 'out';
  readonly port: string;
  readonly name: string;
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

  /** Writes the whole file again, without the seams. Nothing may be added after. Rejects with a LeewayError. */
  async finish(): Promise<void> {
    await this.#file?.finish();
  }

  /** Stops writing; what is there stays. */
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
