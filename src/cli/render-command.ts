import { join } from 'node:path';
import { isFolder, toIdentity } from '../app/folders.js';
import { nameInput, openMidi, STANDARD_STREAM, toTitle } from '../app/midi-source.js';
import { render } from '../app/render.js';
import { openSoundSource } from '../app/sound-source.js';
import { toTimeline } from '../core/score/index.js';
import { WholeFile } from '../io/files/index.js';
import { LeewayError } from '../io/leeway-error.js';
import { EXIT, type ExitCode } from './exit-codes.js';
import { formatWarning } from './format/errors.js';
import { formatPieceNote, formatRendered } from './format/render.js';
import { openProgress } from './progress.js';
import { complain, say } from './say.js';
import { noSuchPiece, type RawOptions, readRenderChoices } from './settings/index.js';
import { StopSignal } from './stop-signal.js';
import { toAccess } from './streams.js';
import type { World } from './world.js';

/**
 * `leeway render INPUT -o OUT.wav`: the sound of a MIDI file. The file is written whole or not at all. Throws a
 * LeewayError if it can't be read or written, or is stopped.
 */
export async function runRender(input: string, options: RawOptions, world: World): Promise<ExitCode> {
  const read = readRenderChoices(options);
  if (!read.ok) {
    complain(world, read.mistakes);
    return EXIT.mistake;
  }
  const { choices } = read;
  const output = await toOutput(input, String(options.output));
  const { file, warnings } = await openMidi(input, toAccess(world));
  for (const warning of warnings) say(world.stderr, [formatWarning(warning, nameInput(input))]);
  const timeline = toTimeline(file, choices.piece - 1);
  if (choices.piece > timeline.pieces) throw noSuchPiece(choices.piece, timeline.pieces);
  say(world.stderr, formatPieceNote(timeline.pieces, choices.piece));

  const source = await openSoundSource(choices.sound);
  const progress = await openProgress(world);
  const ending = new StopSignal(world);
  const place = new SoundTarget(output, world);
  try {
    const rendered = await render(
      timeline,
      { ...choices, createPlayers: source.createPlayers },
      {
        write: (bytes) => place.write(bytes),
        progress: (share) => {
          ending.check();
          progress.show(share);
        },
      },
    );
    await place.finish();
    progress.stop();
    const to = output === STANDARD_STREAM ? world.stderr : world.stdout;
    say(to, formatRendered(input, output, { ...choices, source: source.name }, rendered));
    return EXIT.done;
  } catch (error) {
    await place.abandon();
    throw error;
  } finally {
    progress.stop();
    ending.forget();
  }
}

/** In a folder the sound has the name of the piece. */
async function toOutput(input: string, output: string): Promise<string> {
  if (output === STANDARD_STREAM) return output;
  const path = (await isFolder(output)) ? join(output, `${toTitle(input)}.wav`) : output;
  const identity = await toIdentity(path);
  if (identity !== undefined && identity === (await toIdentity(input)))
    throw new LeewayError({
      code: 'OUTPUT_IS_INPUT',
      message: `Won't write over the input ${path}.`,
      advice: 'Choose another name or folder with -o; the original is kept.',
    });
  return path;
}

/** The destination of the sound; opened with the first bytes, when the piece can't fail any more. */
class SoundTarget {
  readonly #path: string;
  readonly #world: World;
  #file: WholeFile | undefined;

  constructor(path: string, world: World) {
    this.#path = path;
    this.#world = world;
  }

  async write(bytes: Uint8Array): Promise<void> {
    if (this.#path !== STANDARD_STREAM) {
      this.#file ??= await WholeFile.open(this.#path);
      await this.#file.write(bytes);
      return;
    }
    // Only as fast as the reader takes it; without a reader it stops.
    const { stdout } = this.#world;
    await new Promise<void>((done, failed) => {
      stdout.write(bytes, (error) => (error ? failed(error) : done()));
    });
  }

  async finish(): Promise<void> {
    const file = this.#file;
    this.#file = undefined;
    await file?.finish();
  }

  async abandon(): Promise<void> {
    await this.#file?.abandon();
  }
}
