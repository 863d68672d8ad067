import { beforeAll, describe, expect, test } from 'vitest';
import { Performance } from '../../../src/app/performance.js';
import { retune } from '../../../src/app/retune.js';
import { toTimeline } from '../../../src/core/score/index.js';
import type { Player } from '../../../src/core/sound/index.js';
import { toSettings } from '../../../src/core/tuner/index.js';
import { openSoundFont, type SoundFont } from '../../../src/io/sound/index.js';
import { buildMidi } from '../../support/build-midi.js';
import { hearPartial, toCents } from '../../support/ear.js';
import { numbers } from '../../support/numbers.js';
import { type EventLine, peakOf } from '../../support/sounding.js';
import { makeTinySoundFont, toTinyHertz } from '../../support/tiny-soundfont.js';

const RATE = 48_000;
let font: SoundFont;

beforeAll(async () => {
  font = await openSoundFont(makeTinySoundFont(), 'tiny.sf2');
});

/** Without the room around it, which fills within the first seconds and moves the phase of what one hears. */
function dry(players: readonly Player[]): void {
  for (const player of players)
    for (let channel = 0; channel < 16; channel++) player.channel(0xb0 | channel, 91, 0);
}

/** What players sound, the told ones by their number. */
function soundOf(
  told: readonly (readonly [player: number, ...EventLine])[],
  seconds: number,
  players: readonly Player[],
) {
  const left = new Float64Array(Math.round(seconds * RATE));
  const right = new Float64Array(left.length);
  let frame = 0;
  dry(players);
  const sound = (to: number) => {
    for (const player of players) player.add(left, right, frame, to);
    frame = to;
  };
  for (const [player, at, ...bytes] of told) {
    const due = Math.round(at * RATE);
    if (due > frame) sound(due);
    if (bytes[0] === 0xf0) players[player].system(Uint8Array.from(bytes));
    else players[player].channel(bytes[0], bytes[1], bytes[2] ?? 0);
  }
  sound(left.length);
  return left;
}

const offBy = (samples: Float64Array, cents: number, from = 0.2) =>
  toCents(hearPartial(samples, RATE, toTinyHertz(cents), from), toTinyHertz(cents));

describe('the pitches of a SoundFont:', () => {
  test.each([0, 1, -3, 560, -4711, 8191])(
    "a SoundFont's bend by %i steps is exact, unlike the library's own",
    (steps) => {
      const value = 8192 + steps;
      const told: [number, ...EventLine][] = [
        [0, 0, 0xe0, value & 127, value >> 7],
        [0, 0, 0x90, 69, 90],
      ];
      const left = soundOf(told, 3.2, font.createPlayers(RATE, 1, false));
      expect(Math.abs(offBy(left, 6900 + (steps * 200) / 8192))).toBeLessThan(0.01);
    },
  );

  test('a sounding note can be moved by a quarter of a cent', () => {
    const told: [number, ...EventLine][] = [
      [0, 0, 0x90, 69, 90],
      [0, 0.1, 0xe0, 10, 64],
    ];
    const left = soundOf(told, 3.4, font.createPlayers(RATE, 1, false));
    expect(Math.abs(offBy(left, 6900 + 2000 / 8192, 0.3))).toBeLessThan(0.01);
  });

  test.each(['mpe', 'multichannel', 'mts'] as const)('a just triad through %s is exact', (kind) => {
    const { file } = retune(buildMidi(numbers('0 8 60, 0 8 64, 0 8 67')), {
      settings: toSettings({ strategy: 'free' }),
      outlet: { kind, bendRange: kind === 'mts' ? undefined : 2 },
      plan: 'live',
    });
    const timeline = toTimeline(file);
    const players = font.createPlayers(RATE, timeline.receivers, kind === 'mts');
    dry(players);
    const performance = new Performance(timeline, players, RATE);
    const [left, right] = [new Float64Array(RATE * 3.4), new Float64Array(RATE * 3.4)];
    performance.sound(left, right);
    const ground = hearPartial(left, RATE, toTinyHertz(6000), 0.3);
    for (const ratio of [5 / 4, 3 / 2])
      expect(Math.abs(toCents(hearPartial(left, RATE, ground * ratio, 0.3), ground * ratio))).toBeLessThan(
        0.05,
      );
  });

  test("a zone's tenth channel is no drum kit, and its manager's bend reaches it", () => {
    const told: [number, ...EventLine][] = numbers(
      '0 0 0xb0 101 0, 0 0 0xb0 100 6, 0 0 0xb0 6 15, 0 0 0xe9 0 65, 0 0 0xe0 0 80, 0 0 0x99 60 90',
    );
    const left = soundOf(told, 3.2, font.createPlayers(RATE, 1, false));
    expect(Math.abs(offBy(left, 6000 + 75 + 50))).toBeLessThan(0.01);
  });

  test('receivers of one file keep their channels separate, and those that tune keys their keys', () => {
    const bend: [number, ...EventLine][] = [
      [0, 0, 0xe0, 0, 96],
      [1, 0, 0x90, 60, 90],
    ];
    expect(Math.abs(offBy(soundOf(bend, 3.2, font.createPlayers(RATE, 2, false)), 6000))).toBeLessThan(0.01);
    const tuned: [number, ...EventLine][] = [
      [0, 0, 0xf0, 0x7f, 0x7f, 8, 2, 0, 1, 60, 61, 0, 0, 0xf7],
      [1, 0, 0xf0, 0x7f, 0x7f, 8, 2, 0, 1, 60, 60, 64, 0, 0xf7],
      [1, 0, 0x90, 60, 90],
    ];
    expect(Math.abs(offBy(soundOf(tuned, 3.2, font.createPlayers(RATE, 2, true)), 6050))).toBeLessThan(0.01);
  });

  test('a key is tuned while it sounds, under another program', () => {
    const told: [number, ...EventLine][] = numbers(
      '0 0 0xc0 19, 0 0 0x90 60 90, 0 0.1 0xf0 0x7f 0x7f 8 2 0 1 60 60 32 0 0xf7',
    );
    expect(Math.abs(offBy(soundOf(told, 3.4, font.createPlayers(RATE, 1, true)), 6025, 0.3))).toBeLessThan(
      0.01,
    );
  });
});

describe("the beginning and end of a SoundFont's notes:", () => {
  test('the sound is silent before a note, and after its end', () => {
    const [player] = font.createPlayers(RATE, 1, false);
    expect(player.isSilent).toBe(true);
    player.channel(0xb0, 64, 127);
    player.channel(0x90, 60, 90);
    player.channel(0x80, 60, 64);
    const [left, right] = [new Float64Array(RATE), new Float64Array(RATE)];
    player.add(left, right, 0, RATE / 2);
    expect(player.isSilent).toBe(false);
    player.finish();
    for (let second = 0; second < 10 && !player.isSilent; second++) player.add(left, right, 0, RATE);
    expect(player.isSilent).toBe(true);
  });

  test('a reset is silent, and restores bends and volume', () => {
    const [player] = font.createPlayers(RATE, 1, false);
    player.channel(0xe0, 0, 96);
    player.channel(0xb0, 7, 1);
    player.channel(0x90, 60, 90);
    player.reset(Uint8Array.of(0xf0, 0x7e, 0x7f, 9, 1, 0xf7));
    const left = soundOf([[0, 0, 0x90, 69, 90]], 3.2, [player]);
    expect(Math.abs(offBy(left, 6900))).toBeLessThan(0.01);
    expect(peakOf(left, 1, 2)).toBeGreaterThan(0.01);
  });

  test('drums sound at their own pitch, whatever is bent', () => {
    const told: [number, ...EventLine][] = [
      [0, 0, 0xe9, 0, 96],
      [0, 0, 0x99, 60, 90],
    ];
    const [player] = font.createPlayers(RATE, 1, false);
    const left = soundOf(told, 3.2, [player]);
    expect(peakOf(left, 0.1, 1)).toBeGreaterThan(0.01);
    expect(Math.abs(offBy(left, 6000))).toBeLessThan(0.01);
    expect(player.percussion).toBe(0);
  });
});

describe('reading a SoundFont:', () => {
  test.each([
    ['nothing', new Uint8Array(0)],
    ['a MIDI file', Uint8Array.from([0x4d, 0x54, 0x68, 0x64, 0, 0, 0, 6, 0, 0, 0, 1, 0, 96])],
    ['noise', Uint8Array.from({ length: 5000 }, (_, i) => (i * 7919) & 0xff)],
    ['a cut one', makeTinySoundFont().subarray(0, 300)],
  ])('a file that is no SoundFont is refused: %s', async (_, bytes) => {
    await expect(openSoundFont(bytes, 'bad.sf2')).rejects.toMatchObject({
      code: 'SOUNDFONT_BAD',
      message: expect.stringMatching(/^bad\.sf2 is no SoundFont that can be played: .*[^.]\.$/s),
    });
  });

  test('the name of a SoundFont is read', () => expect(font.name).toBe('Tiny'));
});
