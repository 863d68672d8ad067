import { mkdirSync, readFileSync, writeFileSync } from 'node:fs';
import { parseMidi } from 'midi-file';
import { describe, expect, test } from 'vitest';
import { retune } from '../../src/app/retune.js';
import { formatMidiFile, parseMidiFile, toTempoMap, tracksOf } from '../../src/core/midi/index.js';
import { DEFAULT_PLAN, recountMoments, toPartsByTrack } from '../../src/core/score/index.js';
import { formatRatio } from '../../src/core/theory/index.js';
import { toReturned, toSettings } from '../../src/core/tuner/index.js';
import { DEMO_PIECES, type DemoPiece, toDemoFile } from '../support/demo-pieces.js';

const FOLDER = new URL('../../configs/demo/', import.meta.url);

/** `LEEWAY_WRITE_DEMO=1 npm test -- demo-pieces` writes the files anew after a change to the pieces. */
if (process.env.LEEWAY_WRITE_DEMO === '1') {
  mkdirSync(FOLDER, { recursive: true });
  for (const piece of DEMO_PIECES) writeFileSync(toUrl(piece), formatMidiFile(toDemoFile(piece)));
}

function toUrl(piece: DemoPiece): URL {
  return new URL(`${piece.name}.mid`, FOLDER);
}

function find(name: string): DemoPiece {
  const piece = DEMO_PIECES.find((one) => one.name === name);
  if (piece === undefined) throw new Error(`no piece ${name}`);
  return piece;
}

describe.each(DEMO_PIECES)('the demo piece $name', (piece) => {
  test('has the file in configs/demo that its voices describe', () => {
    expect(new Uint8Array(readFileSync(toUrl(piece)))).toEqual(formatMidiFile(toDemoFile(piece)));
  });

  test('has every note in its track of the retuned file, as an independent reader finds', () => {
    const read = parseMidiFile(new Uint8Array(readFileSync(toUrl(piece))));
    if (!read.ok) throw new Error(read.problem.message);
    const before = parseMidi(formatMidiFile(read.value.file));
    for (const strategy of ['free', 'pull', 'anchored'] as const) {
      const retuned = retune(read.value.file, {
        settings: toSettings({ strategy, limit: 7 }),
        outlet: { kind: 'mpe', bendRange: undefined },
        plan: DEFAULT_PLAN,
      });
      const after = parseMidi(formatMidiFile(retuned.file));
      expect(after.tracks.length).toBe(before.tracks.length);
      expect(after.tracks.map(toNoteTimes)).toEqual(before.tracks.map(toNoteTimes));
    }
  });
});

/** When a track's notes begin and end, and how hard they are struck: what retuning must not touch. */
function toNoteTimes(events: ReturnType<typeof parseMidi>['tracks'][number]): string[] {
  let tick = 0;
  const times: string[] = [];
  for (const event of events) {
    tick += event.deltaTime;
    if (event.type === 'noteOn') times.push(`${tick} on ${event.velocity}`);
    if (event.type === 'noteOff') times.push(`${tick} off`);
  }
  return times.sort();
}

describe('the demo pieces show what they are for:', () => {
  /** Drift of the bass’s first key class after the whole piece, `free`, as the demo plays it. */
  function drift(name: string, limit: 5 | 7): string {
    const file = toDemoFile(find(name));
    const tracks = tracksOf(file);
    const settings = toSettings({ strategy: 'free', limit });
    const { tuner } = recountMoments(tracks, toPartsByTrack(tracks), toTempoMap(file).toMs, settings, 'live');
    return formatRatio(toReturned(tuner.ledger, 0));
  }

  test('the warm-up falls a syntonic comma a pass: C starts eight passes, and ends one more comma down each', () => {
    // common practice: I-vi-ii-V-I with every common tone tied, 80/81 a pass
    expect(drift('choir-warm-up', 5)).toBe(`${80n ** 8n}/${81n ** 8n}`);
  });

  test('the circle of thirds falls a lesser diesis a round: (125/128)^4', () => {
    expect(drift('trio-of-thirds', 5)).toBe(`${125n ** 4n}/${128n ** 4n}`);
  });

  test('the sevenths rise by 64/63 a round, the tied seventh moving the chord under it', () => {
    expect(drift('organ-sevenths', 7)).toBe(`${64n ** 4n}/${63n ** 4n}`);
  });
});
