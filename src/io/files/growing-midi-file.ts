import {
  type Division,
  formatEvents,
  formatMidiFile,
  META,
  type MetaEvent,
  type MidiFile,
  parseMidiFile,
  type TrackEvent,
  tracksOf,
} from '../../core/midi/index.js';
import { GrowingFile, type OpenNew } from './growing-file.js';
import { readInput } from './read-input.js';
import { writeWhole } from './whole-file.js';

/** Where the length of the one track stands, and where its events begin. Standard MIDI Files 1.0, Header and Track Chunks */
const LENGTH_OFFSET = 18;
const EVENTS_OFFSET = 22;

/** An end-of-track event ends the file: its type is the last byte but one. */
const TYPE_FROM_END = 2;

/**
 * Stands before each piece. Until the length of the track counts a piece in, the piece is something behind the last chunk,
 * and a reader may look whether it is a chunk: these eight bytes, wait included, are no chunk type and a length no file has.
 */
const GUARD = Uint8Array.of(0x7f, 0x7f, 0x7f, 0x7f);

const NO_DATA = new Uint8Array(0);

/**
 * A Standard MIDI File of one track that is written while the music goes on. At every moment what is on disk is a file
 * that opens and holds everything up to the last piece that was appended, whenever the program is killed.
 *
 * A piece goes behind the end-of-track event that stands there, with an end-of-track of its own; then the length of the
 * track takes it in; then the old end-of-track becomes an empty text. A reader sees the old file with something behind
 * it, or the new one with an end-of-track too many, or the new one. (The length is four bytes in one sector, handed over
 * in one call, which a kill doesn't divide.) `finish` writes it anew without those texts.
 *
 * One call at a time. Errors are those of {@link GrowingFile}; after one only `abandon` makes sense, and what was
 * appended before it stands.
 *
 * @example
 * const file = await GrowingMidiFile.create('take.mid', { kind: 'ppq', ticksPerQuarter: 10_000 }, []);
 * await file.append([{ kind: 'channel', tick: 20_000, status: 0x90, data1: 60, data2: 80 }]);
 * await file.finish();
 */
export class GrowingMidiFile {
  readonly #file: GrowingFile;
  #bytes: number;
  #tick: number;

  private constructor(file: GrowingFile, bytes: number, tick: number) {
    this.#file = file;
    this.#bytes = bytes;
    this.#tick = tick;
  }

  /** Makes the file, with the events it begins with. One that is there already is never touched. */
  static async create(
    path: string,
    division: Division,
    events: readonly TrackEvent[],
    openNew?: OpenNew,
  ): Promise<GrowingMidiFile> {
    const bytes = formatMidiFile({
      format: 0,
      division,
      headerExtra: NO_DATA,
      chunks: [{ kind: 'track', events: [...events] }],
      wrapper: 'none',
    });
    const file = await GrowingFile.create(path, openNew);
    try {
      await file.write(bytes, 0);
    } catch (error) {
      await file.remove();
      throw error;
    }
    return new GrowingMidiFile(file, bytes.length, events.at(-1)?.tick ?? 0);
  }

  /** Puts events behind those that are there. Ticks never decrease, from call to call either; no end-of-track. */
  async append(events: readonly TrackEvent[]): Promise<void> {
    const lastTick = events.at(-1)?.tick;
    if (lastTick === undefined) return;
    await this.#file.check();
    const guard = toMeta(this.#tick, META.text, GUARD);
    const end = toMeta(lastTick, META.endOfTrack, NO_DATA);
    const piece = formatEvents([guard, ...events, end], this.#tick);
    const before = this.#bytes;
    await this.#file.write(piece, before);
    await this.#file.write(toUint32(before + piece.length - EVENTS_OFFSET), LENGTH_OFFSET);
    await this.#file.write(Uint8Array.of(META.text), before - TYPE_FROM_END);
    this.#bytes += piece.length;
    this.#tick = lastTick;
  }

  /** Nothing more comes: the file is closed, and written anew as if it had been written at once. */
  async finish(): Promise<void> {
    await this.#file.close();
    const { path } = this.#file;
    const outcome = parseMidiFile(await readInput(path));
    // What we wrote opens, unless another program was at it: then it stays as it is.
    if (outcome.ok) await writeWhole(path, formatMidiFile(withoutSeams(outcome.value.file)));
  }

  /** Nothing more comes: what is there stays as it is. Never rejects. */
  async abandon(): Promise<void> {
    await this.#file.close().catch(() => undefined);
  }
}

/** The file without the texts that growing has left: empty ones and guards. */
function withoutSeams(file: MidiFile): MidiFile {
  const chunks = tracksOf(file).map(({ events }) => ({
    kind: 'track' as const,
    events: events.filter((event) => event.kind !== 'meta' || event.type !== META.text || !isSeam(event)),
  }));
  return { ...file, chunks };
}

function isSeam({ data }: MetaEvent): boolean {
  return data.length === 0 || (data.length === GUARD.length && data.every((byte, i) => byte === GUARD[i]));
}

function toMeta(tick: number, type: number, data: Uint8Array): MetaEvent {
  return { kind: 'meta', tick, type, data };
}

function toUint32(value: number): Uint8Array {
  return Uint8Array.from([24, 16, 8, 0], (shift) => (value >>> shift) & 0xff);
}
