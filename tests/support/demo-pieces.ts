import { META, type MidiFile, type TrackEvent } from '../../src/core/midi/index.js';

/** An invented piece: its file name, its title, and its voices as text. */
export interface DemoPiece {
  readonly name: string;
  readonly title: string;
  readonly beatsPerMinute: number;
  /** Quarters in a bar. */
  readonly quartersPerBar: number;
  /** How often the voices are played in a row. */
  readonly passes: number;
  readonly voices: readonly { readonly name: string; readonly program: number; readonly notes: string }[];
}

/**
 * The demo pieces: four invented scenes, with no real people in them. A voice is a row of notes, each with its length in
 * quarters (`E4*2`); `-` rests, `|` only parts bars for the eye.
 */
export const DEMO_PIECES: readonly DemoPiece[] = [
  {
    // An amateur choir's warm-up on C A D G C, every common tone tied: a syntonic comma down each pass.
    name: 'choir-warm-up',
    title: 'Warm-up of an amateur choir: round and round',
    beatsPerMinute: 80,
    quartersPerBar: 4,
    passes: 8,
    voices: [
      { name: 'Soprano', program: 52, notes: 'C5*8          | D5*8          | E5*3 -*1' },
      { name: 'Alto', program: 52, notes: 'E4*8          | F4*4 | G4*7          -*1' },
      { name: 'Tenor', program: 52, notes: 'G3*4 | A3*8          | B3*4 | C4*3 -*1' },
      { name: 'Bass', program: 52, notes: 'C3*4 | A2*4 | D3*4 | G2*4 | C3*3 -*1' },
    ],
  },
  {
    // A chapel organ: one voice is always tied over the change and resolves after it.
    name: 'chapel-suspensions',
    title: 'Chapel organ: tied suspensions',
    beatsPerMinute: 66,
    quartersPerBar: 6,
    passes: 2,
    voices: [
      { name: 'Upper', program: 19, notes: 'G4*2 C5*3 B4*1 | C5*1 A4*3 G4*2 | A4*1 F4*3 E4*1 D4*1 | E4*6' },
      { name: 'Middle', program: 19, notes: 'E4*3 F4*1 D4*2 | E4*3 F4*1 D4*2 | C4*3 D4*1 C4*1 B3*1 | C4*6' },
      { name: 'Lower', program: 19, notes: 'C4*2 A3*2 G3*2 | C4*2 D4*2 B3*2 | F3*2 B3*2 G3*2 | G3*6' },
      { name: 'Pedal', program: 19, notes: 'C3*2 F3*2 G3*2 | A2*2 D3*2 G2*2 | F2*2 D2*2 G2*2 | C3*6' },
    ],
  },
  {
    // A string trio goes up in major thirds, each third kept under the bow: a diesis short of the octave each round.
    name: 'trio-of-thirds',
    title: 'String trio: a circle of thirds',
    beatsPerMinute: 72,
    quartersPerBar: 4,
    passes: 4,
    voices: [
      { name: 'Violin', program: 40, notes: 'G4*4 | G#4*8         | G4*3 -*1' },
      { name: 'Viola', program: 41, notes: 'E4*8         | D#4*4 | E4*3 -*1' },
      { name: 'Cello', program: 42, notes: 'C4*4 | B3*4  | C4*7  -*1' },
    ],
  },
  {
    // For the 7-limit: dominant sevenths that want 4:5:6:7, the shared tone tied from chord to chord.
    name: 'organ-sevenths',
    title: 'Chapel organ: evening sevenths',
    beatsPerMinute: 60,
    quartersPerBar: 4,
    passes: 4,
    voices: [
      { name: 'Upper', program: 19, notes: 'A#4*4 | A4*4  | B4*4  | A#4*3 -*1' },
      { name: 'Middle', program: 19, notes: 'G4*4  | F4*8          | C5*3 -*1' },
      { name: 'Lower', program: 19, notes: 'E4*4  | D#4*4 | D4*4  | E4*3 -*1' },
      { name: 'Pedal', program: 19, notes: 'C3*8          | G3*7         -*1' },
    ],
  },
];

const TICKS_PER_QUARTER = 480;
const LETTERS: Readonly<Record<string, number>> = { C: 0, D: 2, E: 4, F: 5, G: 7, A: 9, B: 11 };
const VELOCITY = 72;

/** The file of a demo piece: format 1, a conductor's track, a track and channel a voice, a marker at each pass. */
export function toDemoFile(piece: DemoPiece): MidiFile {
  const length = Math.max(
    ...piece.voices.map(({ notes }) => parseNotes(notes).reduce((sum, n) => sum + n.ticks, 0)),
  );
  const conductor: TrackEvent[] = [
    text(0, META.trackName, piece.title),
    { kind: 'meta', tick: 0, type: META.timeSignature, data: Uint8Array.of(piece.quartersPerBar, 2, 24, 8) },
    { kind: 'meta', tick: 0, type: META.tempo, data: toTempo(piece.beatsPerMinute) },
  ];
  for (let pass = 0; pass < piece.passes; pass++) {
    conductor.push(text(pass * length, META.marker, `pass ${pass + 1}`));
  }
  const end = piece.passes * length;
  conductor.push(endAt(end));
  const chunks = piece.voices.map(({ name, program, notes }, channel) => {
    const events: TrackEvent[] = [
      text(0, META.trackName, name),
      { kind: 'channel', tick: 0, status: 0xc0 | channel, data1: program, data2: 0 },
    ];
    for (let pass = 0; pass < piece.passes; pass++) {
      let tick = pass * length;
      for (const { key, ticks } of parseNotes(notes)) {
        if (key !== undefined) {
          events.push({ kind: 'channel', tick, status: 0x90 | channel, data1: key, data2: VELOCITY });
          events.push({ kind: 'channel', tick: tick + ticks, status: 0x80 | channel, data1: key, data2: 64 });
        }
        tick += ticks;
      }
    }
    events.push(endAt(end));
    return { kind: 'track' as const, events };
  });
  return {
    format: 1,
    division: { kind: 'ppq', ticksPerQuarter: TICKS_PER_QUARTER },
    headerExtra: new Uint8Array(0),
    chunks: [{ kind: 'track', events: conductor }, ...chunks],
    wrapper: 'none',
  };
}

/** Keys and lengths of a voice; no key is a rest. Throws on anything else. */
function parseNotes(notes: string): { key: number | undefined; ticks: number }[] {
  const tokens = notes.split(/[\s|]+/).filter((token) => token !== '');
  return tokens.map((token) => {
    const parts = /^(?:([A-G])(#?)(\d)|-)\*(\d+)$/.exec(token);
    if (parts === null) throw new Error(`not a note: ${token}`);
    const [, letter, sharp, octave, quarters] = parts;
    const ticks = Number(quarters) * TICKS_PER_QUARTER;
    if (letter === undefined) return { key: undefined, ticks };
    return { key: LETTERS[letter] + (sharp === '#' ? 1 : 0) + 12 * (Number(octave) + 1), ticks };
  });
}

function toTempo(beatsPerMinute: number): Uint8Array {
  const microseconds = Math.round(60e6 / beatsPerMinute);
  return Uint8Array.of((microseconds >> 16) & 0xff, (microseconds >> 8) & 0xff, microseconds & 0xff);
}

function text(tick: number, type: number, words: string): TrackEvent {
  return { kind: 'meta', tick, type, data: Uint8Array.from(words, (character) => character.charCodeAt(0)) };
}

function endAt(tick: number): TrackEvent {
  return { kind: 'meta', tick, type: META.endOfTrack, data: new Uint8Array(0) };
}
