import { toLeewayError } from '../../app/problem-error.js';
import type { SoundChoice } from '../../app/sound-source.js';
import type { SampleFormat } from '../../core/sound/index.js';
import { LeewayError } from '../../io/leeway-error.js';
import { OPTIONS } from './command-options.js';
import { OptionReader, type RawOptions } from './option-reader.js';

/** How to sound a piece. */
export interface RenderChoices {
  readonly sound: SoundChoice;
  readonly rate: number;
  readonly format: SampleFormat;
  /** Undefined brings the loudest moment just below full scale. */
  readonly gainDb: number | undefined;
  /** The piece in a file of several, from 1. */
  readonly piece: number;
}

/** Reads the options of `leeway render`: all of them, or every mistake in them. */
export function readRenderChoices(
  options: RawOptions,
): { ok: true; choices: RenderChoices } | { ok: false; mistakes: readonly LeewayError[] } {
  const reader = new OptionReader(options);
  const { mistakes } = reader;
  const voice = reader.take(OPTIONS.voice);
  const { soundfont } = options;
  if (soundfont !== undefined && options.voice !== undefined) mistakes.push(bothGiven());
  const choices: RenderChoices = {
    sound: typeof soundfont === 'string' ? { kind: 'soundfont', path: soundfont } : { kind: 'voice', voice },
    rate: Number(reader.take(OPTIONS.sampleRate)),
    format: reader.take(OPTIONS.bits),
    gainDb: reader.take(OPTIONS.gain),
    piece: reader.take(OPTIONS.piece),
  };
  return mistakes.length === 0 ? { ok: true, choices } : { ok: false, mistakes };
}

/** The file holds fewer pieces. */
export function noSuchPiece(piece: number, pieces: number): LeewayError {
  const there = pieces === 1 ? 'is one piece' : `holds ${pieces} pieces`;
  const problem = {
    code: 'VALUE_RANGE',
    message: `the file ${there}`,
    advice: 'Choose one of them.',
  } as const;
  return toLeewayError(problem, `--piece ${piece}`);
}

function bothGiven(): LeewayError {
  return new LeewayError({
    code: 'SETTINGS_CONFLICT',
    message: '--voice and --soundfont both say what makes the sound.',
    advice: 'Leave one of them out.',
  });
}
