import { META, type MidiFile, type Track, type TrackEvent, type UnknownChunk } from '../core/midi/index.js';
import type { Part } from '../core/score/index.js';

/** Where an output track's events come from: the track itself, or a channel taken out of it. */
export interface OutputTrack {
  readonly events: TrackEvent[];
}

/**
 * The tracks of the output file and which of them each stream of the input goes to.
 *
 * A track keeps its place and everything in it. Only when several channels play in one track, each further one (and
 * what isn't tuned beside it) gets a track of its own right after it, since a zone carries one instrument.
 */
export interface OutputLayout {
  /** For each input track: where all that isn't tuned goes. */
  readonly home: readonly OutputTrack[];
  /** For each input track: where percussion and channels on which nobody plays go, unchanged. */
  readonly untuned: readonly OutputTrack[];
  /** For each part: the track it plays in. */
  readonly parts: readonly OutputTrack[];
  /** The file, its tracks filled in as the output tracks are. `format` is given because one track may have become more. */
  toFile(): MidiFile;
}

/** Lays out one output track for each part, beside what stays. */
export function layOutByTrack(
  file: MidiFile,
  tracks: readonly Track[],
  parts: readonly Part[],
): OutputLayout {
  const home = tracks.map(() => createTrack());
  const untuned = home.slice();
  const partTracks = new Array<OutputTrack>(parts.length);
  const chunks: (OutputTrack | UnknownChunk)[] = [];
  let index = 0;
  for (const chunk of file.chunks) {
    if (chunk.kind === 'unknown') {
      chunks.push(chunk);
      continue;
    }
    const own = home[index];
    chunks.push(own);
    const mine = parts.filter((part) => part.track === index);
    mine.forEach((part, i) => {
      partTracks[part.index] = i === 0 ? own : split(chunks, chunk, `channel ${part.channel + 1}`);
    });
    if (mine.length > 0 && hasOthers(chunk, mine)) untuned[index] = split(chunks, chunk, 'not tuned');
    index += 1;
  }
  return { home, untuned, parts: partTracks, toFile: () => assemble(file, chunks) };
}

/** Lays out one more track at the end for everything that is tuned, so that channels shared by parts stay in order. */
export function layOutTogether(
  file: MidiFile,
  tracks: readonly Track[],
  parts: readonly Part[],
): OutputLayout {
  const home = tracks.map(() => createTrack());
  const chunks: (OutputTrack | UnknownChunk)[] = [];
  let index = 0;
  let last = 0;
  for (const chunk of file.chunks) {
    chunks.push(chunk.kind === 'unknown' ? chunk : home[index++]);
    if (chunk.kind === 'track') last = chunks.length;
  }
  if (file.format !== 1 || tracks.length === 1) {
    return { home, untuned: home, parts: parts.map(() => home[0]), toFile: () => assemble(file, chunks) };
  }
  const together = createTrack();
  together.events.push(toName('tuned parts'));
  chunks.splice(last, 0, together);
  return { home, untuned: home, parts: parts.map(() => together), toFile: () => assemble(file, chunks) };
}

function createTrack(): OutputTrack {
  return { events: [] };
}

function split(chunks: (OutputTrack | UnknownChunk)[], from: Track, what: string): OutputTrack {
  const track = createTrack();
  const name = from.events.find((event) => event.kind === 'meta' && event.type === META.trackName);
  const text =
    name?.kind === 'meta' ? Array.from(name.data, (byte) => String.fromCharCode(byte)).join('') : '';
  track.events.push(toName(text === '' ? what : `${text} (${what})`));
  chunks.push(track);
  return track;
}

/** A track name from text in which each character is a byte, so that names of any encoding stay as they were. */
function toName(text: string): TrackEvent {
  const data = Uint8Array.from(text, (character) => character.charCodeAt(0));
  return { kind: 'meta', tick: 0, type: META.trackName, data };
}

/** Whether a track has messages on channels other than those of its parts: percussion, or nobody's. */
function hasOthers(track: Track, parts: readonly Part[]): boolean {
  return track.events.some(
    (event) => event.kind === 'channel' && !parts.some((part) => part.channel === (event.status & 0x0f)),
  );
}

function assemble(file: MidiFile, chunks: readonly (OutputTrack | UnknownChunk)[]): MidiFile {
  const whole = chunks.map((chunk): Track | UnknownChunk =>
    'kind' in chunk ? chunk : { kind: 'track', events: chunk.events },
  );
  const several = whole.filter((chunk) => chunk.kind === 'track').length > 1;
  const format = file.format === 0 && several ? 1 : file.format;
  return {
    format,
    division: file.division,
    headerExtra: file.headerExtra,
    chunks: whole,
    wrapper: file.wrapper,
  };
}
