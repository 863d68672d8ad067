import { META, type MidiFile, NOTE_OFF, NOTE_ON, PROGRAM_CHANGE, type TrackEvent } from '../../midi/index.js';
import { formatChord } from './chord.js';
import type { Pump } from './pump.js';
import { CHOIRS, type Voicing } from './voicing.js';

/** How a pump is written out. */
export interface PumpScore {
  readonly title: string;
  readonly voicings: readonly Voicing[];
  readonly passes: number;
  readonly secondsPerChord: number;
  /** Whether notes that continue are one long note; else they are struck again with each chord. */
  readonly tied: boolean;
}

const TICKS_PER_QUARTER = 480;
/** A chord lasts a bar of four quarters. */
const CHORD_TICKS = 4 * TICKS_PER_QUARTER;
/** General MIDI's choir, counted from 0. */
const CHOIR = 52;
const VELOCITY = 80;
const RELEASE_VELOCITY = 64;

/**
 * Writes a pump as a MIDI file: a track for tempo, chord names and a marker at each pass, and one for each voice, the
 * highest first. After the last pass its first chord is added, so that the drift can be heard. A common tone that the
 * chords have a comma apart can't be held: it is struck again whatever `tied` says.
 *
 * Format 1, 480 ticks a quarter note, a bar of 4/4 a chord. `passes` is at least 1, `secondsPerChord` at most 67: a
 * tempo has 24 bits of microseconds.
 *
 * @example
 * const voicings = toVoicings(pump, 4).value;
 * const score = { title: 'I vi ii V', voicings, passes: 4, secondsPerChord: 2, tied: true };
 * toPumpFile(pump, score).chunks.length  // 5: a track for tempo and names, and one for each voice
 */
export function toPumpFile(pump: Pump, score: PumpScore): MidiFile {
  const parts = CHOIRS[score.voicings[0].length as 3 | 4];
  const voices = parts.map((part, voice) => ({
    kind: 'track' as const,
    events: toVoiceTrack(pump, score, voice, part.name, parts.length - 1 - voice),
  }));
  return {
    format: 1,
    division: { kind: 'ppq', ticksPerQuarter: TICKS_PER_QUARTER },
    headerExtra: new Uint8Array(0),
    chunks: [{ kind: 'track', events: toLeadTrack(pump, score) }, ...voices.reverse()],
    wrapper: 'none',
  };
}

/** How many chords are written: all passes, and the closing one. */
function countChords(pump: Pump, { passes }: PumpScore): number {
  return pump.chords.length * passes + 1;
}

function toLeadTrack(pump: Pump, score: PumpScore): TrackEvent[] {
  const count = countChords(pump, score);
  const us = Math.round((score.secondsPerChord * 1e6) / 4);
  const events: TrackEvent[] = [
    meta(0, META.trackName, bytesOf(score.title)),
    meta(0, META.tempo, Uint8Array.of(us >> 16, (us >> 8) & 0xff, us & 0xff)),
    meta(0, META.timeSignature, Uint8Array.of(4, 2, 24, 8)),
  ];
  for (let i = 0; i < count; i++) {
    const chord = i % pump.chords.length;
    const tick = i * CHORD_TICKS;
    const pass = i / pump.chords.length + 1;
    if (chord === 0) events.push(meta(tick, META.marker, bytesOf(i === count - 1 ? 'end' : `pass ${pass}`)));
    events.push(meta(tick, META.text, bytesOf(toAscii(formatChord(pump.chords[chord])))));
  }
  events.push(meta(count * CHORD_TICKS, META.endOfTrack, new Uint8Array(0)));
  return events;
}

function toVoiceTrack(
  pump: Pump,
  score: PumpScore,
  voice: number,
  name: string,
  channel: number,
): TrackEvent[] {
  const count = countChords(pump, score);
  const end = count * CHORD_TICKS;
  const events: TrackEvent[] = [
    meta(0, META.trackName, bytesOf(name)),
    { kind: 'channel', tick: 0, status: PROGRAM_CHANGE | channel, data1: CHOIR, data2: 0 },
  ];
  const keyAt = (i: number) => score.voicings[i % score.voicings.length][voice];
  for (let i = 0; i < count; i++) {
    const key = keyAt(i);
    if (i > 0 && isTied(pump, score, i - 1, keyAt(i - 1), key)) continue;
    let last = i;
    while (last + 1 < count && isTied(pump, score, last, key, keyAt(last + 1))) last++;
    events.push(
      { kind: 'channel', tick: i * CHORD_TICKS, status: NOTE_ON | channel, data1: key, data2: VELOCITY },
      {
        kind: 'channel',
        tick: (last + 1) * CHORD_TICKS,
        status: NOTE_OFF | channel,
        data1: key,
        data2: RELEASE_VELOCITY,
      },
    );
  }
  events.push(meta(end, META.endOfTrack, new Uint8Array(0)));
  return events;
}

/** Whether a voice holds its key from a chord to the next. */
function isTied(pump: Pump, { tied }: PumpScore, i: number, key: number, next: number): boolean {
  return tied && key === next && pump.moves[i % pump.moves.length].held.includes(key % 12);
}

function meta(tick: number, type: number, data: Uint8Array): TrackEvent {
  return { kind: 'meta', tick, type, data };
}

function toAscii(text: string): string {
  return text.replaceAll('♯', '#').replaceAll('♭', 'b');
}

/** Text of one byte a character. */
function bytesOf(text: string): Uint8Array {
  return Uint8Array.from(toAscii(text), (character) => {
    const code = character.charCodeAt(0);
    return code < 0x100 ? code : 0x3f;
  });
}
