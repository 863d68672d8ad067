import type { BasicSoundBank, SpessaSynthProcessor } from 'spessasynth_core';
import type { Player } from '../../core/sound/index.js';
import { LeewayError } from '../leeway-error.js';
import { SoundFontPlayer } from './soundfont-player.js';
import { SoundFontStage } from './soundfont-stage.js';

/** An opened SoundFont. */
export interface SoundFont {
  /** Its own name; may be empty. */
  readonly name: string;
  /**
   * New players of several receivers; the first makes the sound of all.
   * @param apart gives each a separate synth, for tunings of single keys: a synth has only one table of them
   */
  createPlayers(rate: number, receivers: number, apart: boolean): Player[];
}

/**
 * Opens a SoundFont (SF2, SF3 or DLS). The library behind it is loaded here and nowhere else. Throws a LeewayError:
 * SOUNDFONT_BAD.
 *
 * @param path for the message
 */
export async function openSoundFont(bytes: Uint8Array, path: string): Promise<SoundFont> {
  const { SoundBankLoader, SpessaLog, SpessaSynthProcessor } = await import('spessasynth_core');
  // It would write to the console.
  SpessaLog.setLogLevel(false, false, false);
  const bank = load(() => SoundBankLoader.fromArrayBuffer(toBuffer(bytes)), path);
  if (bank.presets.length === 0) throw notSoundFont(path, 'it holds no instrument');
  const createSynth = (rate: number): SpessaSynthProcessor => {
    const synth = new SpessaSynthProcessor(rate, { eventsEnabled: false });
    synth.soundBankManager.addSoundBank(bank, 'main');
    synth.setSystemParameter('autoAllocateVoices', true);
    return synth;
  };
  // Compressed samples need a decoder that is initialised once.
  await createSynth(48_000).processorInitialized;
  return {
    name: bank.soundBankInfo.name.trim(),
    createPlayers(rate, receivers, apart) {
      const shared = apart ? undefined : new SoundFontStage(createSynth(rate), receivers);
      return Array.from(
        { length: receivers },
        (_, receiver) =>
          new SoundFontPlayer(
            shared ?? new SoundFontStage(createSynth(rate), 1),
            shared === undefined ? 0 : receiver,
          ),
      );
    },
  };
}

function load(read: () => BasicSoundBank, path: string): BasicSoundBank {
  try {
    return read();
  } catch (error) {
    throw notSoundFont(path, error instanceof Error ? error.message : String(error), error);
  }
}

function notSoundFont(path: string, reason: string, cause?: unknown): LeewayError {
  return new LeewayError(
    {
      code: 'SOUNDFONT_BAD',
      message: `${path} is no SoundFont that can be played: ${reason.replace(/\.$/, '')}.`,
      advice: 'Give a file that ends in .sf2, .sf3 or .dls.',
    },
    { cause },
  );
}

function toBuffer(bytes: Uint8Array): ArrayBuffer {
  const whole = bytes.byteOffset === 0 && bytes.byteLength === bytes.buffer.byteLength;
  return (whole ? bytes.buffer : bytes.slice().buffer) as ArrayBuffer;
}
