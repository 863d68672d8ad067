import { fileURLToPath } from 'node:url';
import { parseMidi } from 'midi-file';
import { describe, expect, test } from 'vitest';
import { retune } from '../../src/app/retune.js';
import { formatMidiFile, type MidiFile, parseMidiFile, toTempoMap } from '../../src/core/midi/index.js';
import { toFifths } from '../../src/core/theory/index.js';
import { type TunerSettings, toSettings } from '../../src/core/tuner/index.js';
import { type HeardNote, hear } from '../bench/corpus/heard.js';
import { addPerformance, createTally, type Figures, toFigures } from '../bench/corpus/measure.js';
import { type Piece, readCorpora } from '../bench/corpus/pieces.js';
import { BETTER_PLAIN_RULE, performPlainly } from '../bench/corpus/plain-rule.js';

const [{ pieces }] = readCorpora(fileURLToPath(new URL('.', import.meta.url)));

function read(piece: Piece): MidiFile {
  const outcome = parseMidiFile(piece.bytes);
  if (!outcome.ok) throw new Error(outcome.problem.message);
  return outcome.value.file;
}

function measure(settings: TunerSettings): Figures {
  const tally = createTally();
  for (const piece of pieces) {
    const places = new Map<string, number>();
    const { file, sequences } = retune(
      read(piece),
      { settings, outlet: { kind: 'mpe', bendRange: 48 } },
      {
        end: (_, note) => {
          places.set(`${Math.round(note.struckMs)} ${note.key} ${note.part}`, toFifths(note.point));
        },
      },
    );
    const { toMs } = toTempoMap(file);
    const placeOf = ({ written, onTick }: HeardNote): number => {
      const part = sequences[0].parts.parts.findIndex(({ track }) => track === written.voice + 1);
      return places.get(`${Math.round(toMs(onTick))} ${written.midi} ${part}`) ?? Number.NaN;
    };
    addPerformance(tally, hear(piece, file), placeOf);
  }
  return toFigures(tally);
}

function measurePlain(): Figures {
  const tally = createTally();
  for (const piece of pieces) {
    const { performance, placeOf } = performPlainly(
      piece,
      BETTER_PLAIN_RULE,
      toTempoMap(read(piece)).toMs(480) / 1000,
    );
    addPerformance(tally, performance, placeOf);
  }
  return toFigures(tally);
}

// Chorales of DCMLab/bach_chorales, CC0-1.0, with their written spelling; measured from the retuned files.
describe('six chorales', () => {
  test('are purer and shift less than under the plain rule, and are spelled as written', () => {
    const ours = measure(toSettings({ strategy: 'free' }));
    const plain = measurePlain();
    expect(ours.worth).toBeGreaterThan(plain.worth);
    expect(ours.pure).toBeGreaterThan(95);
    expect(ours.spelled).toBeGreaterThan(98.5);
  });

  test.each([0, 4, 8, 12])('stay within a leeway of %i cents, and half a step of the bend', (leewayCents) => {
    const halfStep = (100 * 48) / 8192 / 2;
    const { farthest, homeRms } = measure(toSettings({ strategy: 'anchored', leewayCents }));
    expect(farthest).toBeLessThanOrEqual(leewayCents + halfStep);
    expect(homeRms).toBeLessThanOrEqual(farthest);
  });

  test('keep every note of every track, as an independent reader sees it', () => {
    for (const piece of pieces) {
      const before = parseMidi(piece.bytes);
      const { file } = retune(read(piece), {
        settings: toSettings({}),
        outlet: { kind: 'mpe', bendRange: 48 },
      });
      const after = parseMidi(formatMidiFile(file));
      expect(after.tracks.map(countNotes)).toEqual(before.tracks.map(countNotes));
    }
  });
});

function countNotes(events: ReturnType<typeof parseMidi>['tracks'][number]): number {
  return events.filter((event) => event.type === 'noteOn').length;
}
