import { type BarRange, explain } from '../../src/app/explain.js';
import { toSheetPassage } from '../../src/app/sheet/write-sheet.js';
import { type Box, type Drawing, overlap, type TextShape, toTextBox } from '../../src/core/drawing/index.js';
import type { TrackEvent } from '../../src/core/midi/index.js';
import type { Passage } from '../../src/core/sheet/index.js';
import { toSettings } from '../../src/core/tuner/index.js';
import { type BuiltNote, buildMidi } from './build-midi.js';

/** A passage as a sheet shows it, from notes in quarters, as they would be tuned live: the whole piece, or some bars of it. */
export function passageOf(
  notes: readonly BuiltNote[],
  settings: Parameters<typeof toSettings>[0],
  bars?: BarRange,
): Passage {
  const [piece] = explain(buildMidi(notes), toSettings(settings), 'live', bars);
  return toSheetPassage(piece);
}

/** The same with the sustain pedal down from the first tick on. */
export function pedalledPassageOf(
  notes: readonly BuiltNote[],
  settings: Parameters<typeof toSettings>[0],
): Passage {
  const pedal: TrackEvent = { kind: 'channel', tick: 0, status: 0xb0, data1: 64, data2: 127 };
  const file = buildMidi(notes);
  const chunks = file.chunks.map((chunk) =>
    chunk.kind === 'track' ? { ...chunk, events: [pedal, ...chunk.events] } : chunk,
  );
  const [piece] = explain({ ...file, chunks }, toSettings(settings), 'live');
  return toSheetPassage(piece);
}

/** The words of a drawing. */
export function textsOf({ shapes }: Drawing): TextShape[] {
  return shapes.filter((shape): shape is TextShape => shape.kind === 'text');
}

/** Pairs of words that stand on each other, of any drawing, by the estimate of their widths. */
export function findCollisions(drawing: Drawing): string[] {
  const texts = textsOf(drawing).map((text) => ({ words: text.words, box: shrink(toTextBox(text)) }));
  return texts.flatMap((a, i) =>
    texts.slice(i + 1).flatMap((b) => (overlap(a.box, b.box) ? [`${a.words} on ${b.words}`] : [])),
  );
}

/** What is rounded to a tenth may touch. */
function shrink({ left, right, top, bottom }: Box): Box {
  return { left: left + 0.1, right: right - 0.1, top: top + 0.1, bottom: bottom - 0.1 };
}
