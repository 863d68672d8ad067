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

/** Offsets of the length of the one track, and of its events. Standard MIDI Files 1.0, Header and Track Chunks */
const LENGTH_OFFSET = 18;
const EVENTS_OFFSET = 22;

/** An end-of-track event ends the file: its type is the last byte but one. */
const TYPE_FROM_END = 2;

/**
 * Precedes each piece. Until the length of the track includes a piece, it is junk behind the last chunk, and a reader
 * may try it as a chunk. These eight bytes, delta-time included, are no chunk type and no possible length.
 */
const GUARD = Uint8Array.of(0x7f, 0x7f, 0x7f, 0x7f);

const NO_DATA = new Uint8Array(0);

/**
 * A Standard MIDI File of one track that is written while the music goes on. At every moment the file on disk opens and
 * holds everything up to the last appended piece, whenever the program is killed.
 *
 * A piece is written behind the present end-of-track event, with another end-of-track. Then the length of the track
 * includes it; then the old end-of-track becomes an empty text. So a reader sees the old file with junk behind it, the
 * new one with an end-of-track too many, or the new one. (The length is four bytes in one sector, written in one call,
 * which a kill doesn't divide.) `finish` writes it again without those texts.
 *
 * One call at a time. Errors are those of {@link GrowingFile}; after one only `abandon` makes sense, and what was
 * appended before it stays.
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

  /** Makes the file, with its first events. An existing one is never touched. */
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

  /** Appends events. Ticks never decrease, from call to call either; no end-of-track. */
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

  /** Closes the file and writes it again as if at once. Nothing may be appended after. */
  async finish(): Promise<void> {
    await this.#file.close();
    const { path } = this.#file;
    const outcome = parseMidiFile(await readInput(path));
    // What was written here opens, unless another program changed it: then it stays as it is.
    if (outcome.ok) await writeWhole(path, formatMidiFile(withoutSeams(outcome.value.file)));
  }

  /** Closes the file as it is. Never rejects. */
  async abandon(): Promise<void> {
    await this.#file.close().catch(() => undefined);
  }
}

/** The file without the texts of its growth: empty ones and guards. */
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
