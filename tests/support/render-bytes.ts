import { WaveFile } from 'wavefile';
import { type RenderOptions, render } from '../../src/app/render.js';
import type { MidiFile } from '../../src/core/midi/index.js';
import { type Timeline, toTimeline } from '../../src/core/score/index.js';
import { Ensemble } from '../../src/core/sound/index.js';
import { toVoice, type VoiceName } from '../../src/core/theory/index.js';

/** The bytes a piece is written as. */
export async function renderBytes(
  file: MidiFile | Timeline,
  options: Partial<RenderOptions> & { voice?: VoiceName } = {},
) {
  const { voice = 'reed', ...rest } = options;
  const rate = rest.rate ?? 48_000;
  const pieces: Uint8Array[] = [];
  const shares: number[] = [];
  const rendered = await render(
    'timesMs' in file ? file : toTimeline(file),
    {
      rate,
      format: '24',
      gainDb: undefined,
      createPlayers: ({ receivers }) =>
        Array.from({ length: receivers }, () => new Ensemble(toVoice(voice), rate)),
      ...rest,
    },
    {
      write: async (bytes) => void pieces.push(bytes),
      progress: (share) => void shares.push(share),
    },
  );
  return { bytes: Buffer.concat(pieces), rendered, shares };
}

/** The left side as another reader finds it, full scale being 1. */
export function samplesOf(bytes: Uint8Array, scale: number): Float64Array {
  const [left] = new WaveFile(bytes).getSamples(false) as unknown as Float64Array[];
  return left.map((sample) => sample / scale);
}
