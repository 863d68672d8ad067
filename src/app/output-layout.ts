import {
  META,
  type MidiFile,
  PackedTrack,
  type Track,
  type TrackEvent,
  type UnknownChunk,
} from '../core/midi/index.js';
import type { Part, TrackPartMap } from '../core/score/index.js';

/**
 * The tracks of the output file, and where each stream of the input goes.
 *
 * A track stays in its place with everything in it. Only when several channels play in one track, each further one (and
 * what isn't tuned beside it) gets a separate track right after it, since a zone carries one instrument.
 */
export interface OutputLayout {
  /** For each input track: the track for all that isn't tuned. */
  readonly home: readonly PackedTrack[];
  /** For each input track: the track for all that passes as it came, such as percussion. */
  readonly untuned: readonly PackedTrack[];
  /** For each part: the track it plays in; undefined for one that isn't tuned. */
  readonly parts: readonly (PackedTrack | undefined)[];
  /** The file with its tracks as filled so far. `format` is given because one track may have become more. */
  toFile(): MidiFile;
}

/** Lays out one output track for each tuned part, beside the rest. */
export function layOutByTrack(
  file: MidiFile,
  tracks: readonly Track[],
  { parts, channelsIn }: TrackPartMap,
): OutputLayout {
  const home = tracks.map(() => new PackedTrack());
  const untuned = home.slice();
  const partTracks = new Array<PackedTrack | undefined>(parts.length).fill(undefined);
  const chunks: (PackedTrack | UnknownChunk)[] = [];
  let index = 0;
  for (const chunk of file.chunks) {
    if (chunk.kind === 'unknown') {
      chunks.push(chunk);
      continue;
    }
    const own = home[index];
    chunks.push(own);
    const mine = parts.filter((part) => part.track === index && part.role === 'tuned');
    mine.forEach((part, i) => {
      partTracks[part.index] = i === 0 ? own : split(chunks, chunk, `channel ${part.channel + 1}`);
    });
    if (mine.length > 0 && hasOthers(channelsIn(index), mine))
      untuned[index] = split(chunks, chunk, 'not tuned');
    index += 1;
  }
  return { home, untuned, parts: partTracks, toFile: () => assemble(file, chunks) };
}

/** Lays out one more track at the end for everything tuned, so that channels shared by parts stay in order. */
export function layOutTogether(
  file: MidiFile,
  tracks: readonly Track[],
  parts: readonly Part[],
): OutputLayout {
  const home = tracks.map(() => new PackedTrack());
  const chunks: (PackedTrack | UnknownChunk)[] = [];
  let index = 0;
  let last = 0;
  for (const chunk of file.chunks) {
    chunks.push(chunk.kind === 'unknown' ? chunk : home[index++]);
    if (chunk.kind === 'track') last = chunks.length;
  }
  if (file.format !== 1 || tracks.length === 1) {
    return { home, untuned: home, parts: parts.map(toTarget(home[0])), toFile: () => assemble(file, chunks) };
  }
  const together = new PackedTrack();
  together.push(toName('tuned parts'));
  chunks.splice(last, 0, together);
  return { home, untuned: home, parts: parts.map(toTarget(together)), toFile: () => assemble(file, chunks) };
}

function toTarget(track: PackedTrack): (part: Part) => PackedTrack | undefined {
  return ({ role }) => (role === 'tuned' ? track : undefined);
}

function split(chunks: (PackedTrack | UnknownChunk)[], from: Track, what: string): PackedTrack {
  const track = new PackedTrack();
  const name = from.events.find((event) => event.kind === 'meta' && event.type === META.trackName);
  const text =
    name?.kind === 'meta' ? Array.from(name.data, (byte) => String.fromCharCode(byte)).join('') : '';
  track.push(toName(text === '' ? what : `${text} (${what})`));
  chunks.push(track);
  return track;
}

/** A track name from text in which each character is a byte, so that any encoding is preserved. */
function toName(text: string): TrackEvent {
  const data = Uint8Array.from(text, (character) => character.charCodeAt(0));
  return { kind: 'meta', tick: 0, type: META.trackName, data };
}

/**
 * Whether a track has messages on channels other than those of its parts: percussion, or nobody's.
 * @param channels channels with messages, a bit each
 */
function hasOthers(channels: number, parts: readonly Part[]): boolean {
  return parts.reduce((others, { channel }) => others & ~(1 << channel), channels) !== 0;
}

function assemble(file: MidiFile, chunks: readonly (PackedTrack | UnknownChunk)[]): MidiFile {
  const several = chunks.filter((chunk) => chunk.kind === 'track').length > 1;
  const format = file.format === 0 && several ? 1 : file.format;
  return {
    format,
    division: file.division,
    headerExtra: file.headerExtra,
    chunks: [...chunks],
    wrapper: file.wrapper,
  };
}
