import type { Timeline } from '../core/score/index.js';
import { Ensemble, type Player } from '../core/sound/index.js';
import { toVoice, type VoiceName } from '../core/theory/index.js';
import { readInput } from '../io/files/index.js';
import { LeewayError } from '../io/leeway-error.js';
import { openSoundFont } from '../io/sound/index.js';

/** The sound of a piece: one of the voices, or a SoundFont by its path. */
export type SoundChoice =
  | { readonly kind: 'voice'; readonly voice: VoiceName }
  | { readonly kind: 'soundfont'; readonly path: string };

/** Makes the sound. */
export interface SoundSource {
  readonly name: string;
  createPlayers(timeline: Timeline, rate: number): Player[];
}

/** The largest SoundFont: the limit of one read call of the system. */
const MOST_BYTES = 2 ** 31 - 1;

/** Opens a sound source. Throws a LeewayError: for a SoundFont those of reading a file, and SOUNDFONT_BAD. */
export async function openSoundSource(choice: SoundChoice): Promise<SoundSource> {
  if (choice.kind === 'voice') {
    const voice = toVoice(choice.voice);
    return {
      name: voice.words,
      createPlayers: ({ receivers }, rate) =>
        Array.from({ length: receivers }, () => new Ensemble(voice, rate)),
    };
  }
  const font = await openSoundFont(await read(choice.path), choice.path);
  return {
    name: `SoundFont ${font.name === '' ? choice.path : font.name}`,
    createPlayers: (timeline, rate) => font.createPlayers(rate, timeline.receivers, tunesKeys(timeline)),
  };
}

function tunesKeys({ system }: Timeline): boolean {
  return [...system.values()].some((bytes) => (bytes[1] === 0x7f || bytes[1] === 0x7e) && bytes[3] === 8);
}

async function read(path: string): Promise<Uint8Array> {
  try {
    return await readInput(path, MOST_BYTES);
  } catch (error) {
    if (!(error instanceof LeewayError) || error.code !== 'FILE_TOO_BIG') throw error;
    const advice = 'Choose a smaller SoundFont; one of 2 GiB or more is not read.';
    throw new LeewayError({ code: error.code, message: error.message, advice }, { cause: error });
  }
}
