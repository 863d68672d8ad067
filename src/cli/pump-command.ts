import { isFolder } from '../app/folders.js';
import { STANDARD_STREAM } from '../app/midi-source.js';
import { toLeewayError } from '../app/problem-error.js';
import { listPumps, makePump, type PumpOptions } from '../app/pump.js';
import { formatMidiFile } from '../core/midi/index.js';
import { LeewayError } from '../io/leeway-error.js';
import { EXIT, type ExitCode } from './exit-codes.js';
import { formatExercise, formatPumpList } from './format/pump.js';
import { complain, say } from './say.js';
import { OPTIONS, OptionReader, type RawOptions } from './settings/index.js';
import { toAccess } from './streams.js';
import type { World } from './world.js';

/** `leeway pump FORMULA`: computes a comma pump, says why it drifts, and writes it as a MIDI file on request. */
export async function runPump(words: readonly string[], raw: RawOptions, world: World): Promise<ExitCode> {
  const reader = new OptionReader(raw);
  const { mistakes } = reader;
  const options: PumpOptions = {
    text: words.join(' '),
    tonic: reader.take(OPTIONS.tonic),
    voices: Number(reader.take(OPTIONS.voices)) as 3 | 4,
    passes: reader.take(OPTIONS.passes),
    secondsPerChord: reader.take(OPTIONS.seconds),
    tied: raw.restruck !== true,
  };
  if (words.length === 0 && raw.list !== true) mistakes.push(nothingAsked());
  if (mistakes.length > 0) {
    complain(world, mistakes);
    return EXIT.mistake;
  }
  if (raw.list === true) {
    say(world.stdout, formatPumpList(listPumps(options.tonic)));
    return EXIT.done;
  }
  const made = makePump(options);
  if (!made.ok) throw toLeewayError(made.problem, `"${options.text}"`);
  const output = typeof raw.output === 'string' ? raw.output : undefined;
  if (output !== undefined) {
    if (await isFolder(output)) throw folderGiven(output);
    await toAccess(world).write(output, formatMidiFile(made.value.file));
  }
  say(output === STANDARD_STREAM ? world.stderr : world.stdout, formatExercise(made.value, options, output));
  return EXIT.done;
}

function nothingAsked(): LeewayError {
  return new LeewayError({
    code: 'USAGE',
    message: 'There is no formula.',
    advice: 'Give one, such as "I vi ii V"; leeway pump --list names the classic ones.',
  });
}

function folderGiven(path: string): LeewayError {
  return new LeewayError({
    code: 'FILE_IS_FOLDER',
    message: `Can't write ${path}: it is a folder.`,
    advice: 'Name a file inside it.',
  });
}
