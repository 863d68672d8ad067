import { mkdirSync, readdirSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { PassThrough, Readable } from 'node:stream';
import { describe, expect, test } from 'vitest';
import { WaveFile } from 'wavefile';
import { formatMidiFile, META, tracksOf } from '../../src/core/midi/index.js';
import { toArgv } from '../support/argv.js';
import { buildMidi, buildMidiBytes, PUMP } from '../support/build-midi.js';
import { runCli } from '../support/run-cli.js';
import { useTemporaryFolder } from '../support/temporary-folder.js';
import { makeTinySoundFont } from '../support/tiny-soundfont.js';

const folder = useTemporaryFolder();
const at = (...names: string[]) => join(folder(), ...names);

function write(name: string, content: Uint8Array | string = buildMidiBytes(PUMP)): string {
  writeFileSync(at(name), content);
  return at(name);
}

const toFormat = (path: string) => {
  const { bitDepth, fmt } = new WaveFile(readFileSync(path)) as unknown as {
    bitDepth: string;
    fmt: { sampleRate: number };
  };
  return [bitDepth, fmt.sampleRate];
};

test('render writes a file and sums it up', async () => {
  const { code, out, err } = await runCli(['render', write('a.mid'), '-o', at('a.wav')]);
  expect([code, err]).toEqual([0, '']);
  expect(out).toContain(`${at('a.mid')} → ${at('a.wav')}`);
  expect(out).toMatch(/sound {5}10\.\d s; reed organ; 48000 Hz, 16 bits/);
  expect(out).toMatch(/level {5}the loudest moment is at −1\.0 dB from full scale; gain \+\d+\.\d dB/);
  expect(out).not.toContain('left out');
  expect(toFormat(at('a.wav'))).toEqual(['16', 48_000]);
  expect(readdirSync(folder()).sort()).toEqual(['a.mid', 'a.wav']);
});

test.each([
  ['16', '44100', '16'],
  ['24', '48000', '24'],
  ['float', '44100', '32f'],
])('render writes %s bits at %s hertz', async (bits, rate, depth) => {
  const argv = toArgv`render ${write('a.mid')} -o ${at('a.wav')} --bits ${bits} --rate ${rate} --voice sung`;
  const { code, out } = await runCli(argv);
  expect(code).toBe(0);
  expect(out).toContain(`voices; ${rate} Hz`);
  expect(toFormat(at('a.wav'))).toEqual([depth, Number(rate)]);
});

test('render writes into a folder under the name of the piece', async () => {
  mkdirSync(at('out'));
  expect((await runCli(['render', write('a.b.mid'), '-o', at('out')])).code).toBe(0);
  expect(readdirSync(at('out'))).toEqual(['a.b.wav']);
});

test('render goes from standard input to standard output, with its words on standard error', async () => {
  const stdout = new PassThrough({ highWaterMark: 2 ** 30 });
  const { code, err } = await runCli(['render', '-', '-o', '-'], {
    stdin: Readable.from([Buffer.from(buildMidiBytes([[0, 1, 60]]))]),
    stdout,
  });
  expect(code).toBe(0);
  expect(err).toContain('standard input → standard output');
  const bytes = stdout.read() as Buffer;
  expect(bytes.readUInt32LE(4)).toBe(bytes.length - 8);
});

test('render reports left out percussion and tunings that it does not understand', async () => {
  const file = buildMidi([[0, 1, 60]]);
  const [{ events }] = tracksOf(file);
  events.unshift(
    { kind: 'sysex', tick: 0, lead: 0xf0, data: Uint8Array.of(0x7e, 0x7f, 8, 1, 0, 0xf7) },
    { kind: 'channel', tick: 0, status: 0x99, data1: 38, data2: 90 },
  );
  const { code, out } = await runCli(['render', write('a.mid', formatMidiFile(file)), '-o', at('a.wav')]);
  expect(code).toBe(0);
  expect(out).toContain('left out  1 note of percussion: our own voices have no drums');
  expect(out.replaceAll(/\s+/g, ' ')).toContain('1 tuning message of a kind not understood here');
});

test('a SoundFont sounds, with programs and drums, and is named', async () => {
  const file = buildMidi([[0, 1, 60]]);
  const [{ events }] = tracksOf(file);
  events.unshift({ kind: 'channel', tick: 0, status: 0x99, data1: 38, data2: 90 });
  const argv = ['render', write('a.mid', formatMidiFile(file)), '-o', at('a.wav'), '--soundfont'];
  const { code, out, err } = await runCli([...argv, write('tiny.sf2', makeTinySoundFont())]);
  expect([code, err]).toEqual([0, '']);
  expect(out).toContain('SoundFont Tiny; 48000 Hz');
  expect(out).not.toContain('left out');
  expect(toFormat(at('a.wav'))).toEqual(['16', 48_000]);
});

test('a SoundFont is refused where it is none, is missing, or comes with a voice', async () => {
  const argv = ['render', write('a.mid'), '-o', at('a.wav'), '--soundfont'];
  const bad = await runCli([...argv, at('a.mid')]);
  expect([bad.code, bad.err]).toEqual([2, expect.stringContaining('[SOUNDFONT_BAD]')]);
  const missing = await runCli([...argv, at('b.sf2')]);
  expect([missing.code, missing.err]).toEqual([2, expect.stringContaining('[FILE_MISSING]')]);
  const both = await runCli([...argv, at('b.sf2'), '--voice', 'sung']);
  expect([both.code, both.err]).toEqual([2, expect.stringContaining('[SETTINGS_CONFLICT]')]);
  expect(readdirSync(folder())).toEqual(['a.mid']);
});

describe('the pieces of a format 2 file', () => {
  const several = () => {
    const one = buildMidi([[0, 1, 60]]);
    const chunks = [...tracksOf(one), ...tracksOf(buildMidi([[0, 3, 60]]))];
    return write('a.mid', formatMidiFile({ ...one, format: 2, chunks }));
  };

  test('are rendered one at a time, and the others are mentioned', async () => {
    const { code, err, out } = await runCli(['render', several(), '-o', at('a.wav'), '--piece', '2']);
    expect(code).toBe(0);
    expect(err).toContain('note: piece 2 is rendered: the file holds 2 pieces');
    expect(out).toMatch(/sound {5}1\.[6-9] s/);
  });

  test('are refused by a number that does not exist', async () => {
    const { code, err } = await runCli(['render', several(), '-o', at('a.wav'), '--piece', '3']);
    expect(code).toBe(2);
    expect(err).toBe('leeway: --piece 3: the file holds 2 pieces. Choose one of them. [VALUE_RANGE]\n');
  });
});

describe('mistakes of the render command:', () => {
  test('all mistakes are reported at once, and nothing is written', async () => {
    const argv = toArgv`render ${write('a.mid')} -o ${at('a.wav')} --voice sang --rate 96 --bits 8`;
    const { code, err } = await runCli([...argv, '--gain', 'loud']);
    expect(code).toBe(2);
    expect(err.trim().split('\n')).toEqual([
      'leeway: --voice: expected reed, bowed, sung or struck, found "sang". Did you mean sung? [VALUE_UNKNOWN]',
      'leeway: --rate: expected 44100 or 48000, found "96". Choose one of these. [VALUE_UNKNOWN]',
      'leeway: --bits: expected 16, 24 or float, found "8". Choose one of these. [VALUE_UNKNOWN]',
      'leeway: --gain: expected a number from -60 to 60 (decibels), found "loud". Write the number alone, without its unit. [VALUE_NOT_NUMBER]',
    ]);
    expect(readdirSync(folder())).toEqual(['a.mid']);
  });

  test('render refuses what is no MIDI file', async () => {
    const { code, err } = await runCli(['render', write('a.mid', 'RIFFabcdWAVE'), '-o', at('a.wav')]);
    expect(code).toBe(2);
    expect(err).toMatch(/\[SMF_\w+\]\n$/);
    expect(readdirSync(folder())).toEqual(['a.mid']);
  });

  test('render refuses to overwrite its input, and to write into a missing folder', async () => {
    const path = write('a.mid');
    expect((await runCli(['render', path, '-o', path])).err).toContain('[OUTPUT_IS_INPUT]');
    expect((await runCli(['render', path, '-o', at('no', 'a.wav')])).err).toContain('[FILE_NO_FOLDER]');
    expect(readFileSync(path)).toEqual(Buffer.from(buildMidiBytes(PUMP)));
  });

  test('render refuses a piece that is far too long, and writes nothing', async () => {
    const file = buildMidi([[0, 1, 60]]);
    const [{ events }] = tracksOf(file);
    events.at(-1)!.tick = 2 ** 28 - 1;
    const { code, err } = await runCli(['render', write('a.mid', formatMidiFile(file)), '-o', at('a.wav')]);
    expect(code).toBe(2);
    expect(err).toContain('[SOUND_LONG]');
    expect(readdirSync(folder())).toEqual(['a.mid']);
  });
});

test.each(['SIGINT', 'SIGTERM', 'SIGHUP'] as const)(
  'render leaves the old file when it is stopped by %s',
  async (signal) => {
    write('a.wav', 'old');
    let isForgotten = false;
    const { code, err } = await runCli(
      ['render', write('a.mid', buildMidiBytes([[0, 4000, 60]])), '-o', at('a.wav')],
      {
        on: (asked, what) => {
          // It has just begun: half an hour of sound is to come.
          if (asked === signal) setTimeout(what, 50);
          return () => {
            isForgotten = true;
          };
        },
      },
    );
    expect([code, err]).toEqual([
      130,
      'leeway: Stopped before it was done. What was under way was not written. [STOPPED]\n',
    ]);
    expect(readFileSync(at('a.wav'), 'utf8')).toBe('old');
    expect(readdirSync(folder()).sort()).toEqual(['a.mid', 'a.wav']);
    expect(isForgotten).toBe(true);
  },
);

test('render shows a bar on a terminal only for what takes more than a second', async () => {
  let now = 0;
  const clock = { now: () => (now += 300), every: () => ({ stop: () => {} }) };
  const slow = await runCli(['render', write('a.mid'), '-o', at('a.wav')], { terminal: true, clock });
  expect(slow.err).toContain(' % ');
  const quick = await runCli(['render', at('a.mid'), '-o', at('a.wav')], {
    terminal: true,
    clock: { ...clock, now: () => 0 },
  });
  expect(quick.err).toBe('');
  const piped = await runCli(['render', at('a.mid'), '-o', at('a.wav')], { clock });
  expect(piped.err).toBe('');
});

test('render makes a sound as long as a track whose end comes late', async () => {
  const file = buildMidi([[0, 1, 60]]);
  const [{ events }] = tracksOf(file);
  expect(events.at(-1)).toMatchObject({ type: META.endOfTrack });
  events.at(-1)!.tick = 480 * 6;
  const { out } = await runCli(['render', write('a.mid', formatMidiFile(file)), '-o', at('a.wav')]);
  expect(out).toMatch(/sound {5}3\.\d s/);
});
