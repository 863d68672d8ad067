import {
  BasicInstrument,
  BasicPreset,
  BasicSoundBank,
  EmptySample,
  Generator,
  GeneratorTypes,
} from 'spessasynth_core';

/** The sample is a hundred frames long and goes round: 480 Hz at 48 kHz. */
const LOOP = 100;
const RATE = 48_000;
/** The key at which it sounds as it is. */
const KEY = 71;
/** What key 71 sounds at, in hertz. */
export const TINY_HERTZ = RATE / LOOP;

/** A SoundFont of one steady sound, with the harmonics of a sawtooth, on every program. */
export function makeTinySoundFont(name = 'Tiny'): Uint8Array {
  const bank = new BasicSoundBank();
  const sample = new EmptySample();
  sample.name = 'saw';
  sample.originalKey = KEY;
  sample.pitchCorrection = 0;
  sample.loopStart = LOOP;
  sample.loopEnd = 9 * LOOP;
  const wave = Float32Array.from({ length: 10 * LOOP }, (_, i) => {
    let sum = 0;
    for (let n = 1; n <= 12; n++) sum += Math.sin((2 * Math.PI * n * i) / LOOP) / n;
    return sum / 3;
  });
  sample.setAudioData(wave, RATE);
  bank.addSamples(sample);
  const instrument = new BasicInstrument();
  instrument.name = 'saw';
  instrument.globalZone.addGenerators(
    new Generator(GeneratorTypes.releaseVolEnv, -3000),
    new Generator(GeneratorTypes.sampleModes, 1),
    new Generator(GeneratorTypes.reverbEffectsSend, 0),
  );
  instrument.createZone(sample);
  bank.addInstruments(instrument);
  const preset = new BasicPreset(bank);
  preset.name = 'saw';
  preset.createZone(instrument);
  bank.addPresets(preset);
  bank.soundBankInfo.name = name;
  bank.flush();
  return new Uint8Array(bank.writeSF2());
}

/** What a key sounds at, in hertz. */
export function toTinyHertz(cents: number): number {
  return TINY_HERTZ * 2 ** ((cents - 100 * KEY) / 1200);
}
