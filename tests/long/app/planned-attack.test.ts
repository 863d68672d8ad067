import { fileURLToPath } from 'node:url';
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { retune } from '../../../src/app/retune.js';
import { type MidiFile, tracksOf } from '../../../src/core/midi/index.js';
import { DEFAULT_PLAN, type PlanOptions } from '../../../src/core/score/index.js';
import { type Strategy, toSettings } from '../../../src/core/tuner/index.js';
import { type Piece, readCorpora, type WrittenNote } from '../../bench/corpus/pieces.js';
import {
  type Mode,
  type Played,
  type PlayedNote,
  playByHand,
  toFile,
  toTicks,
} from '../../bench/hands/played.js';
import { addHands, createHandsTally, type HandsFigures, toHandsFigures } from '../../bench/hands/score.js';
import { forAll } from '../../support/properties.js';

const [{ pieces }] = readCorpora(fileURLToPath(new URL('../../corpus/', import.meta.url)));
const CHORALES = pieces.slice(0, 3);
const MODES: readonly Mode[] = ['spread', 'overlap', 'both', 'roll'];
/** A glide, and the grid it moves on. */
const GLIDE_TICKS = toTicks(60 + 10) + 1;

/** A bend that came while a note was down on its channel: when, by how much, and when the note was struck. */
interface Move {
  readonly tick: number;
  readonly steps: number;
  readonly struckTick: number;
}

/** Every bend that a sounding note got, as the bytes of a retuned file tell it. */
function findMoves(file: MidiFile): Move[] {
  const moves: Move[] = [];
  const down = new Map<number, Map<number, number>>();
  const bends = new Map<number, number>();
  for (const event of tracksOf(file).flatMap(({ events }) => events)) {
    if (event.kind !== 'channel') continue;
    const { tick, status, data1, data2 } = event;
    const channel = status & 0x0f;
    const notes = down.get(channel) ?? new Map<number, number>();
    down.set(channel, notes);
    switch (status & 0xf0) {
      case 0x90:
        if (data2 > 0) notes.set(data1, tick);
        else notes.delete(data1);
        break;
      case 0x80:
        notes.delete(data1);
        break;
      case 0xe0: {
        const bend = data1 | (data2 << 7);
        const steps = Math.abs(bend - (bends.get(channel) ?? 8192));
        bends.set(channel, bend);
        for (const struckTick of notes.values()) moves.push({ tick, steps, struckTick });
      }
    }
  }
  return moves;
}

function retunePlayed(played: Played, strategy: Strategy, end: PlanOptions['end'] = 'open'): MidiFile {
  const settings = toSettings({ strategy });
  const { file, sequences } = retune(toFile(played), {
    settings,
    outlet: { kind: 'mpe', bendRange: 48 },
    plan: { ...DEFAULT_PLAN, end },
  });
  // A note that shares its channel with another can't have its own pitch: that is the outlet's matter.
  for (const { outlets } of sequences)
    for (const { counters } of outlets) expect(counters.sharedNotes).toBe(0);
  return file;
}

/**
 * When the first finger of each chord that is written falls. Where some note of a chord is over nearly as soon as its
 * last finger is down, nobody can hear one chord: there each finger is a strike.
 */
function toStrikes({ notes }: Played): number[] {
  const chords = new Map<number, PlayedNote[]>();
  for (const note of notes) chords.set(note.written.on, [...(chords.get(note.written.on) ?? []), note]);
  const strikes = [...chords.values()].flatMap((chord) => {
    const falls = chord.map(({ onMs }) => onMs);
    const [first, last] = [Math.min(...falls), Math.max(...falls)];
    const together = Math.min(...chord.map(({ offMs }) => offMs)) - last;
    return together >= 1.5 * (last - first) ? [first] : falls;
  });
  return strikes.map(toTicks).sort((a, b) => a - b);
}

/** Bends of sounding notes that neither the pull accounts for, nor a glide that begins with their own chord or a later one. */
function findUnowed(played: Played, file: MidiFile, strategy: Strategy): Move[] {
  const strikes = toStrikes(played);
  return findMoves(file).filter(({ tick, steps, struckTick }) => {
    // The pull is so slow that it takes a bend step by step.
    if (strategy === 'pull' && steps === 1) return false;
    const own = strikes.findLast((strike) => strike <= struckTick) ?? 0;
    return !strikes.some((strike) => strike >= own && strike <= tick && tick <= strike + GLIDE_TICKS);
  });
}

/** Chords of a choir that wander, some notes tied over: quarters and halves. */
const madePiece = fc
  .array(
    fc.record({
      root: fc.integer({ min: 0, max: 11 }),
      shape: fc.constantFrom([0, 4, 7], [0, 3, 7], [0, 4, 9], [0, 5, 9], [0, 3, 8], [0, 4, 7, 10]),
      quarters: fc.constantFrom(1, 2),
      tied: fc.boolean(),
    }),
    { minLength: 2, maxLength: 16 },
  )
  .map((chords): Piece => {
    const notes: WrittenNote[] = [];
    let on = 0;
    let before: WrittenNote[] = [];
    for (const { root, shape, quarters, tied } of chords) {
      const off = on + quarters;
      const keys = shape.map((keys) => 48 + ((root + keys) % 12));
      keys.push(36 + root);
      before = keys.map((midi, voice) => {
        const held = tied ? before.find((note) => note.midi === midi) : undefined;
        if (held !== undefined) notes.splice(notes.indexOf(held), 1);
        const note = { on: held?.on ?? on, off, midi, voice, fifths: 0, step: 0 };
        notes.push(note);
        return note;
      });
      on = off;
    }
    return { id: JSON.stringify(chords), notes, bytes: new Uint8Array() };
  });

describe.each(MODES)('a piece played by hand (%s) and retuned with all of it known', (mode) => {
  test('has no note that moves after its attack, under free', () => {
    for (const piece of CHORALES) {
      const played = playByHand(piece, mode);
      expect(findMoves(retunePlayed(played, 'free'))).toEqual([]);
    }
    forAll([madePiece], 20, (piece) => {
      expect(findMoves(retunePlayed(playByHand(piece, mode), 'free'))).toEqual([]);
    });
  });

  test.each([
    ['anchored', 'open'],
    ['anchored', 'home'],
    ['pull', 'open'],
    ['pull', 'home'],
  ] as const)(
    "has no note that moves, except by the pull or in a chord's glide, under %s, its end %s",
    (strategy, end) => {
      for (const piece of CHORALES) {
        const played = playByHand(piece, mode);
        expect(findUnowed(played, retunePlayed(played, strategy, end), strategy)).toEqual([]);
      }
      forAll([madePiece], 20, (piece) => {
        const played = playByHand(piece, mode);
        expect(findUnowed(played, retunePlayed(played, strategy, end), strategy)).toEqual([]);
      });
    },
  );
});

test('the check finds a note that moves: a spread chord played live is placed again with each finger', () => {
  const played = playByHand(CHORALES[0], 'spread');
  const { file } = retune(toFile(played), {
    settings: toSettings({ strategy: 'free' }),
    outlet: { kind: 'mpe', bendRange: 48 },
    plan: 'live',
  });
  expect(findMoves(file).length).toBeGreaterThan(10);
  // A key of the chord before that comes up late has the new chord placed again, long after it was struck.
  const late = playByHand(CHORALES[0], 'both');
  const settings = toSettings({ strategy: 'free' });
  const outlet = { kind: 'mpe', bendRange: 48 } as const;
  const heard = retune(toFile(late), { settings, outlet, plan: 'live' });
  expect(findUnowed(late, heard.file, 'free').length).toBeGreaterThan(0);
});

/** What the chorales sound like, planned, as they are written to sound. */
function hearPlanned(mode: Mode): HandsFigures {
  const tally = createHandsTally();
  for (const piece of pieces) {
    const played = playByHand(piece, mode);
    addHands(tally, played, retunePlayed(played, 'free'));
  }
  return toHandsFigures(tally);
}

test.each(MODES)('pieces played by hand (%s) are planned as purely as those played as written', (mode) => {
  const clean = hearPlanned('clean');
  const { far, pure, shifted, moved } = hearPlanned(mode);
  expect(clean.far).toBeLessThan(0.5);
  expect(far).toBeLessThan(clean.far + 0.3);
  expect(pure).toBeGreaterThan(clean.pure - 0.5);
  expect(shifted).toBeLessThan(clean.shifted + 1);
  expect(moved).toBe(0);
});
