import { type Retuned, type RetuneOptions, retune } from '../../src/app/retune.js';
import { type TrackRole, toRoleOf } from '../../src/app/track-roles.js';
import {
  formatMidiFile,
  isNoteOff,
  isNoteOn,
  META,
  type MetaEvent,
  type MidiFile,
  parseMidiFile,
  type Track,
  type TrackEvent,
  tracksOf,
} from '../../src/core/midi/index.js';
import { DEFAULT_PLAN } from '../../src/core/score/index.js';
import { STRATEGIES, toSettings } from '../../src/core/tuner/index.js';
import { LeewayError } from '../../src/io/leeway-error.js';
import { bridge, DEMO_FILES, generateMidiInput, isSameFile } from './midi-file.js';
import type { Random } from './random.js';
import { must, type Target } from './target.js';

const PRIME_LIMITS = [3, 5, 7, 11, 13] as const;
const KINDS = ['mpe', 'multichannel', 'mts'] as const;
const EQUAL = new Array<number>(12).fill(0);
/** The length of an input chooses one. A guide is left out, since its notes are. */
const ROLES: readonly (readonly TrackRole[])[] = [
  [],
  [{ number: 1, role: 'fixed', fixedCents: EQUAL }],
  [
    { channels: [0, 9], role: 'untuned' },
    { number: 0, role: 'fixed', fixedCents: EQUAL },
    { channels: [9], role: 'tuned' },
  ],
];

/**
 * A file of any kind, retuned in one of the ways that the first byte chooses. Nothing is thrown; what is written can be read
 * again, without a warning; every note of it has its end; and no note, meta event, SysEx or percussion is lost or made.
 */
export const retunedFile: Target = {
  name: 'retuned-file',
  share: 100,
  first: DEMO_FILES.map((file) => withWay(0, file)),
  generate(random: Random, known) {
    const files = known.map((input) => input.subarray(1));
    return withWay(random.below(256), generateMidiInput(random, files));
  },
  check(input) {
    const way = input[0] ?? 0;
    const outcome = parseMidiFile(input.subarray(1));
    if (!outcome.ok) return outcome.problem.code;
    const { file } = outcome.value;
    const kind = KINDS[way % 3];
    const roles = ROLES[input.length % ROLES.length];
    const options: RetuneOptions = {
      roles,
      settings: toSettings({
        strategy: STRATEGIES[(way >> 2) & 3],
        limit: PRIME_LIMITS[(way >> 4) % PRIME_LIMITS.length],
        held: (way & 0x40) === 0 ? 'follow' : 'stay',
      }),
      outlet: { kind, bendRange: undefined },
      plan: way >= 0x80 ? { ...DEFAULT_PLAN, end: (way & 1) === 0 ? 'open' : 'home' } : 'live',
    };
    let retuned: Retuned;
    try {
      retuned = retune(file, options);
    } catch (error) {
      // All channels are with what isn't tuned: an error in words.
      if (error instanceof LeewayError && error.code === 'CHANNELS_TAKEN') return error.code;
      throw error;
    }
    const written = formatMidiFile(retuned.file);
    const again = parseMidiFile(written);
    must(again.ok, () => `what was written can't be read: ${again.ok ? '' : again.problem.message}`);
    const { warnings } = again.value;
    must(warnings.length === 0, () => `a warning on what was written: ${warnings[0].message}`);
    must(
      isSameFile(again.value.file, bridge(endLast(retuned.file))),
      () => 'what was written reads as another file',
    );
    compare(file, again.value.file, roles);
    const counts = retuned.sequences.flatMap(({ outlets }) => outlets.map(({ counters }) => counters));
    const marks = ['clampedBends', 'sharedNotes'].filter((name) =>
      counts.some((one) => (one as never)[name] > 0),
    );
    return `${kind} ${file.format} ${retuned.file.format} ${marks.join(' ')} ${way >= 0xe0} ${tracksOf(retuned.file).length}`;
  },
};

function withWay(way: number, file: Uint8Array): Uint8Array {
  return Uint8Array.from([way, ...file]);
}

/** The file as it is written: each track has its end, and has it last. */
function endLast(file: MidiFile): MidiFile {
  const chunks = file.chunks.map((chunk) => {
    if (chunk.kind === 'unknown') return chunk;
    const isEnd = (event: TrackEvent): event is MetaEvent =>
      event.kind === 'meta' && event.type === META.endOfTrack;
    const tick = chunk.events.at(-1)?.tick ?? 0;
    const data = chunk.events.findLast(isEnd)?.data ?? new Uint8Array(0);
    const events = chunk.events.filter((event) => !isEnd(event));
    return {
      kind: 'track' as const,
      events: [...events, { kind: 'meta' as const, tick, type: META.endOfTrack, data }],
    };
  });
  return { ...file, chunks };
}

/** What must be as it was. */
interface Tally {
  noteOns: number;
  /** Notes without an end: only of what isn't tuned. */
  endless: number;
  metas: Map<string, number>;
}

function compare(before: MidiFile, after: MidiFile, roles: readonly TrackRole[]): void {
  const input = tallyOf(tracksOf(before));
  const output = tallyOf(tracksOf(after));
  const { noteOns, metas } = output;
  must(noteOns === input.noteOns, () => `${noteOns} note-ons of ${input.noteOns}`);
  must(
    output.endless === countEndlessOthers(tracksOf(before), roles),
    () => `${output.endless} notes without an end`,
  );
  for (const [name, count] of input.metas) {
    const found = metas.get(name) ?? 0;
    // Tracks that were split off have a name and an end of their own.
    const isMore = name === `meta ${META.trackName}` || name === `meta ${META.endOfTrack}`;
    must(isMore ? found >= count : found === count, () => `${found} of ${count} events of ${name}`);
  }
}

function tallyOf(tracks: readonly Track[]): Tally {
  const tally: Tally = { noteOns: 0, endless: 0, metas: new Map() };
  for (const track of tracks) {
    tally.endless += countEndless(track, () => true);
    for (const event of track.events) {
      if (event.kind === 'channel') {
        if (isNoteOn(event.status, event.data2)) tally.noteOns++;
        continue;
      }
      if (event.kind === 'sysex' ? isTuning(event.data) : isBridge(event)) continue;
      const name = event.kind === 'meta' ? `meta ${event.type}` : 'SysEx';
      tally.metas.set(name, (tally.metas.get(name) ?? 0) + 1);
    }
  }
  return tally;
}

/** A tuning change, as `mts` sends it itself: F0 7F dd 08 02. MIDI Tuning Updated Specification */
const isTuning = (data: Uint8Array): boolean => data[0] === 0x7f && data[2] === 8 && data[3] === 2;

/** An empty text, as it bridges a wait that is too long for one delta-time. */
const isBridge = ({ type, data }: MetaEvent): boolean => type === META.text && data.length === 0;

/** Notes without an end of what isn't tuned, and stays as it was. */
function countEndlessOthers(tracks: readonly Track[], roles: readonly TrackRole[]): number {
  const roleOf = toRoleOf(tracks, roles);
  return tracks.reduce(
    (sum, track, index) => sum + countEndless(track, (channel) => roleOf(index, channel).role !== 'tuned'),
    0,
  );
}

/** Note-ons of a track that no note-off follows, each ended by one. */
function countEndless({ events }: Track, counts: (channel: number) => boolean): number {
  const down = new Map<number, number>();
  for (const event of events) {
    if (event.kind !== 'channel' || !counts(event.status & 15)) continue;
    const slot = ((event.status & 15) << 7) | event.data1;
    const before = down.get(slot) ?? 0;
    if (isNoteOn(event.status, event.data2)) down.set(slot, before + 1);
    else if (isNoteOff(event.status, event.data2)) down.set(slot, Math.max(0, before - 1));
  }
  return [...down.values()].reduce((sum, count) => sum + count, 0);
}
