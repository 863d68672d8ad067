import { readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { beforeAll, describe, expect, test } from 'vitest';
import { WaveFile } from 'wavefile';
import { formatMidiFile, type MidiFile, parseMidiFile, tracksOf } from '../../src/core/midi/index.js';
import { toTimeline } from '../../src/core/score/index.js';
import { toArgv } from '../support/argv.js';
import { buildMidi } from '../support/build-midi.js';
import { hearPartial, toCents } from '../support/ear.js';
import { runCli } from '../support/run-cli.js';
import { SynthModel } from '../support/synth-model.js';
import { useTemporaryFolder } from '../support/temporary-folder.js';
import { makeTinySoundFont, toTinyHertz } from '../support/tiny-soundfont.js';
import { needSoundFont, runOther } from './others.js';

const RATE = 48_000;
const KEYS = [60, 64, 67, 70];
/** A square wave, counted from 0: of all sounds in it the one whose pitch stands stillest by itself. */
const SQUARE = 80;
/** How much goes into the room around the sound, which moves phases while it fills. */
const REVERB = 91;
const folder = useTemporaryFolder();
const at = (name: string) => join(folder(), name);

/** C E G B♭ for eight seconds. */
function makeChord(keys: readonly number[]): MidiFile {
  const file = buildMidi(keys.map((key) => [0, 16, key]));
  tracksOf(file)[0].events.unshift(
    { kind: 'channel', tick: 0, status: 0xc0, data1: SQUARE, data2: 0 },
    { kind: 'channel', tick: 0, status: 0xb0, data1: REVERB, data2: 0 },
  );
  return file;
}

/** The chord retuned, and how far each of its keys is bent, in cents, by a receiver that knows nothing of us. */
async function retuneChord(): Promise<Map<number, number>> {
  writeFileSync(at('chord.mid'), formatMidiFile(makeChord(KEYS)));
  const argv = toArgv`retune ${at('chord.mid')} -o ${at('retuned.mid')} --outlet multichannel --limit 7`;
  expect(await runCli([...argv, '--strategy', 'free'])).toMatchObject({ code: 0, err: '' });
  const outcome = parseMidiFile(new Uint8Array(readFileSync(at('retuned.mid'))));
  if (!outcome.ok) throw new Error(outcome.problem.message);
  const { messages, timesMs } = toTimeline(outcome.value.file);
  const model = new SynthModel();
  for (let i = 0; i < timesMs.length && timesMs[i] < 7000; i++)
    model.channel(messages[3 * i], messages[3 * i + 1], messages[3 * i + 2]);
  return new Map(model.voices.map((voice) => [voice.key, model.centsOf(voice) - 100 * voice.key]));
}

function readLeft(path: string): Float64Array {
  const wave = new WaveFile(readFileSync(path));
  return (wave.getSamples(false) as unknown as Float64Array[])[0];
}

/** How far each key of the retuned chord sounds from the same key alone and unbent, in cents. */
async function hearBends(
  make: (midi: string, wav: string) => Promise<void> | void,
  toHertz = (cents: number) => 440 * 2 ** ((cents - 6900) / 1200),
): Promise<Map<number, number>> {
  await make(at('retuned.mid'), at('retuned.wav'));
  const retuned = readLeft(at('retuned.wav'));
  const heard = new Map<number, number>();
  for (const key of KEYS) {
    writeFileSync(at('plain.mid'), formatMidiFile(makeChord([key])));
    await make(at('plain.mid'), at('plain.wav'));
    const plain = hearPartial(readLeft(at('plain.wav')), RATE, toHertz(100 * key), 2);
    heard.set(key, toCents(hearNear(retuned, plain), plain));
  }
  return heard;
}

/** The partial within a third of a semitone either way: a seventh of 4:5:6:7 is 31 cents lower than on the keyboard. */
function hearNear(samples: Float64Array, hertz: number): number {
  const found = [-33, -22, -11, 0, 11, 22, 33].map((cents) =>
    hearPartial(samples, RATE, hertz * 2 ** (cents / 1200), 2),
  );
  const counts = found.map((one) => found.filter((other) => Math.abs(toCents(one, other)) < 0.001).length);
  return found[counts.indexOf(Math.max(...counts))];
}

async function render(midi: string, wav: string, ...argv: string[]): Promise<void> {
  const { code, err } = await runCli(['render', midi, '-o', wav, '--bits', '24', ...argv]);
  expect([code, err]).toEqual([0, '']);
}

function runFluidsynth(font: string, midi: string, wav: string): void {
  const quiet = ['-ni', '-q', '-R', '0', '-C', '0', '-r', String(RATE), '-O', 's24'];
  runOther('fluidsynth', ...quiet, '-F', wav, font, midi);
}

let soundFont = '';
beforeAll(() => {
  soundFont = needSoundFont();
});

describe('the same retuned chord', () => {
  test('has in a built-in voice each note bent by what the file says, to 0.05 cents', async () => {
    const bends = await retuneChord();
    expect(Math.max(...bends.values()) - Math.min(...bends.values())).toBeGreaterThan(30);
    const heard = await hearBends((midi, wav) => render(midi, wav, '--voice', 'bowed'));
    for (const [key, cents] of bends)
      expect(Math.abs(heard.get(key)! - cents), `key ${key}`).toBeLessThan(0.05);
  });

  describe('with a SoundFont of a steady sound', () => {
    test('has each note bent by what the file says', async () => {
      writeFileSync(at('tiny.sf2'), makeTinySoundFont());
      const bends = await retuneChord();
      const heard = await hearBends(
        (midi, wav) => render(midi, wav, '--soundfont', at('tiny.sf2')),
        toTinyHertz,
      );
      for (const [key, cents] of bends)
        expect(Math.abs(heard.get(key)! - cents), `key ${key}`).toBeLessThan(0.05);
    });

    test('fluidsynth scales each bend by 127/128 and cuts it to whole cents', async () => {
      writeFileSync(at('tiny.sf2'), makeTinySoundFont());
      const bends = await retuneChord();
      const heard = await hearBends((midi, wav) => runFluidsynth(at('tiny.sf2'), midi, wav), toTinyHertz);
      for (const [key, cents] of bends)
        expect(Math.abs(heard.get(key)! - (cents * 127) / 128), `key ${key}`).toBeLessThan(1);
    });
  });

  // The samples of a real instrument waver by themselves, and otherwise at another speed: by half a cent in this one.
  describe('with a free General MIDI SoundFont', () => {
    test('has each note bent by what the file says, as far as its sounds are steady', async () => {
      const bends = await retuneChord();
      const heard = await hearBends((midi, wav) => render(midi, wav, '--soundfont', soundFont));
      for (const [key, cents] of bends)
        expect(Math.abs(heard.get(key)! - cents), `key ${key}`).toBeLessThan(0.5);
    });

    test("is within fluidsynth's own error through fluidsynth", async () => {
      const bends = await retuneChord();
      const heard = await hearBends((midi, wav) => runFluidsynth(soundFont, midi, wav));
      for (const [key, cents] of bends)
        expect(Math.abs(heard.get(key)! - (cents * 127) / 128), `key ${key}`).toBeLessThan(1.5);
    });
  });
});

describe.each([
  ['16', '16-bit Signed Integer PCM', 16],
  ['24', '24-bit Signed Integer PCM', 24],
  ['float', '32-bit Floating Point PCM', 25],
])('a file of %s bits', (bits, encoding, precision) => {
  test.each(['44100', '48000'])('at %s hertz is recognised by sox and by file', async (rate) => {
    writeFileSync(at('chord.mid'), formatMidiFile(makeChord(KEYS)));
    const argv = ['render', at('chord.mid'), '-o', at('a.wav'), '--bits', bits, '--rate', rate];
    const { out } = await runCli(argv);
    const seconds = Number(/sound {5}([\d.]+) s/.exec(out)?.[1]);
    const ask = (what: string) => runOther('soxi', what, at('a.wav')).trim();
    expect([ask('-t'), ask('-r'), ask('-c'), ask('-e')]).toEqual([
      'wav',
      rate,
      '2',
      encoding.replace(/^\S+ /, ''),
    ]);
    expect(Number(ask('-p'))).toBe(precision);
    expect(Number(ask('-D'))).toBeCloseTo(seconds, 0);
    const about = runOther('file', at('a.wav'));
    expect(about).toContain('WAVE audio');
    expect(about).toContain(`stereo ${rate} Hz`);
  });
});
