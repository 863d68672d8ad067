import { type RetunedSequence, retune } from '../../../src/app/retune.js';
import { parseMidiFile, toTempoMap } from '../../../src/core/midi/index.js';
import type { Planning } from '../../../src/core/score/index.js';
import { toFifths } from '../../../src/core/theory/index.js';
import type { TunerSettings } from '../../../src/core/tuner/index.js';
import { type HeardNote, hear } from './heard.js';
import { addPerformance, createTally, type Figures, toFigures } from './measure.js';
import type { Piece } from './pieces.js';

/**
 * Retunes pieces, and gives the figures of what the files sound like.
 * @param done told of each piece that was retuned
 */
export function measureRetuned(
  pieces: readonly Piece[],
  settings: TunerSettings,
  plan: Planning,
  done: (sequence: RetunedSequence) => void = () => {},
): Figures {
  const tally = createTally();
  for (const piece of pieces) {
    const read = parseMidiFile(piece.bytes);
    if (!read.ok) throw new Error(`${piece.id}: ${read.problem.message}`);
    const places = new Map<string, number>();
    const retuned = retune(
      read.value.file,
      { settings, outlet: { kind: 'mpe', bendRange: 48 }, plan },
      {
        end: (_, note) => {
          places.set(`${Math.round(note.struckMs)} ${note.key} ${note.part}`, toFifths(note.point));
        },
      },
    );
    const [sequence] = retuned.sequences;
    done(sequence);
    const toMs = toTempoMap(read.value.file).toMs;
    const placeOf = (note: HeardNote): number => {
      const part = sequence.parts.parts.findIndex(({ track }) => track === note.written.voice + 1);
      return places.get(`${Math.round(toMs(note.onTick))} ${note.written.midi} ${part}`) ?? Number.NaN;
    };
    addPerformance(tally, hear(piece, retuned.file), placeOf);
  }
  return toFigures(tally);
}
