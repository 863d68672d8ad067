import { ByteWriter, LARGEST_VARIABLE_LENGTH } from './byte-writer.js';
import { PackedTrack } from './packed-track.js';
import { toHex } from './smf-cursor.js';
import { wrapRiff } from './smf-riff.js';
import { type Division, META, type MidiFile, type Track, type TrackEvent, tracksOf } from './smf-types.js';
import { dataLength, NOTE_OFF, SYSEX } from './status.js';

const HEADER_ID = Uint8Array.of(0x4d, 0x54, 0x68, 0x64); // 'MThd'
const TRACK_ID = Uint8Array.of(0x4d, 0x54, 0x72, 0x6b); //  'MTrk'
const META_LEAD = 0xff;
const NO_DATA = new Uint8Array(0);

/**
 * The bytes of a Standard MIDI File; reading them again gives the same file.
 *
 * Every event is written with its status byte. Running status would save up to a third, but readers get it wrong around
 * meta events, and a complete event can be cut, moved and compared. Every track ends with one end-of-track: a missing
 * one is added, and one that isn't last moves to the end. A delta-time over 0x0FFFFFFF ticks is bridged by empty text
 * events. Linear in time and memory.
 *
 * The file must be as the types say (ticks non-decreasing, bytes and lengths in range), as `parseMidiFile` makes it.
 * Throws a RangeError otherwise: a mistake in the program must not become a broken file.
 *
 * @see Standard MIDI Files 1.0 (RP-001)
 * @example formatMidiFile({ format: 0, division: { kind: 'ppq', ticksPerQuarter: 96 }, headerExtra: new Uint8Array(0),
 *   chunks: [{ kind: 'track', events: [] }], wrapper: 'none' }).length  // 26: header 14, track 8 + 4
 */
export function formatMidiFile(file: MidiFile): Uint8Array {
  const tracks = tracksOf(file);
  if (tracks.length > 0xffff) refuse(`${tracks.length} tracks, more than 65535`);
  const out = new ByteWriter();
  out.bytes(HEADER_ID);
  out.uint32(6 + file.headerExtra.length);
  out.uint16(file.format);
  out.uint16(tracks.length);
  out.uint16(toDivisionWord(file.division));
  out.bytes(file.headerExtra);
  for (const chunk of file.chunks) {
    if (chunk.kind === 'track') {
      writeTrack(out, chunk);
    } else {
      if (chunk.id.length !== 4) refuse(`a chunk id of ${chunk.id.length} bytes`);
      out.bytes(chunk.id);
      out.uint32(chunk.data.length);
      out.bytes(chunk.data);
    }
  }
  return file.wrapper === 'riff' ? wrapRiff(out.toBytes()) : out.toBytes();
}

/**
 * The bytes of some events as in a track, each with its delta-time, to append to what is there. As with {@link
 * formatMidiFile} there is no running status. Throws a RangeError where that does.
 *
 * @param fromTick the tick of the event before them; 0 at the start of a track
 * @example formatEvents([{ kind: 'channel', tick: 96, status: 0x90, data1: 60, data2: 64 }], 90)  // 06 90 3C 40
 */
export function formatEvents(events: readonly TrackEvent[], fromTick: number): Uint8Array {
  const out = new ByteWriter();
  let tick = fromTick;
  for (const event of events) tick = writeEvent(out, event, tick);
  return out.toBytes();
}

function toDivisionWord(division: Division): number {
  if (division.kind === 'ppq') {
    const { ticksPerQuarter } = division;
    if (!isWithin(ticksPerQuarter, 1, 0x7fff)) refuse(`${ticksPerQuarter} ticks a quarter note`);
    return ticksPerQuarter;
  }
  if (!isWithin(division.ticksPerFrame, 1, 0xff)) refuse(`${division.ticksPerFrame} ticks a frame`);
  return ((0x100 - division.framesPerSecond) << 8) | division.ticksPerFrame;
}

function writeTrack(out: ByteWriter, track: Track): void {
  out.bytes(TRACK_ID);
  const lengthOffset = out.length;
  out.uint32(0);
  let tick = 0;
  let endData: Uint8Array = NO_DATA;
  const other = (event: TrackEvent): void => {
    if (event.kind === 'meta' && event.type === META.endOfTrack) endData = event.data;
    else tick = writeEvent(out, event, tick);
  };
  if (track instanceof PackedTrack) {
    track.visit({
      other,
      bytes(bytes, _fromTick, toTick) {
        out.bytes(bytes);
        tick = toTick;
      },
    });
  } else {
    for (const event of track.events) other(event);
  }
  const lastTick = track instanceof PackedTrack ? track.lastTick : (track.events.at(-1)?.tick ?? 0);
  const endTick = Math.max(tick, lastTick);
  writeEvent(out, { kind: 'meta', tick: endTick, type: META.endOfTrack, data: endData }, tick);
  out.setUint32(lengthOffset, out.length - lengthOffset - 4);
}

/** Writes the event and its delta-time, and returns its tick. */
function writeEvent(out: ByteWriter, event: TrackEvent, previousTick: number): number {
  writeWait(out, event.tick, previousTick);
  if (event.kind === 'channel') {
    writeChannel(out, event.status, event.data1, event.data2);
  } else if (event.kind === 'sysex') {
    out.byte(event.lead);
    writeCounted(out, event.data);
  } else {
    writeMeta(out, event.type, event.data);
  }
  return event.tick;
}

function writeWait(out: ByteWriter, tick: number, previousTick: number): void {
  let delta = tick - previousTick;
  if (!Number.isSafeInteger(tick) || delta < 0) refuse(`tick ${tick} after tick ${previousTick}`);
  while (delta > LARGEST_VARIABLE_LENGTH) {
    out.variableLength(LARGEST_VARIABLE_LENGTH);
    writeMeta(out, META.text, NO_DATA);
    delta -= LARGEST_VARIABLE_LENGTH;
  }
  out.variableLength(delta);
}

function writeChannel(out: ByteWriter, status: number, data1: number, data2: number): void {
  if (!isWithin(status, NOTE_OFF, SYSEX - 1)) refuse(`status ${status} in a channel event`);
  if (!isWithin(data1, 0, 0x7f) || !isWithin(data2, 0, 0x7f)) {
    refuse(`data ${data1}, ${data2} after ${toHex(status)}`);
  }
  out.byte(status);
  out.byte(data1);
  if (dataLength(status) === 2) out.byte(data2);
}

function writeMeta(out: ByteWriter, type: number, data: Uint8Array): void {
  if (!isWithin(type, 0, 0x7f)) refuse(`meta event type ${type}`);
  out.byte(META_LEAD);
  out.byte(type);
  writeCounted(out, data);
}

function writeCounted(out: ByteWriter, data: Uint8Array): void {
  if (data.length > LARGEST_VARIABLE_LENGTH) refuse(`${data.length} bytes of data in one event`);
  out.variableLength(data.length);
  out.bytes(data);
}

function isWithin(value: number, low: number, high: number): boolean {
  return Number.isInteger(value) && value >= low && value <= high;
}

/** Throws for a mistake of the caller; the sentence is only built here. */
function refuse(found: string): never {
  throw new RangeError(`A Standard MIDI File can't hold ${found}.`);
}
