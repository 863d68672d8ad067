import { describe, expect, test } from 'vitest';
import { LiveOutlet } from '../../../src/app/live/live-outlet.js';
import { DEFAULT_OUTLET, type OutletConfig } from '../../../src/app/live/live-settings.js';
import { playTones, TONES, type Tone } from '../../../src/app/live/tones.js';
import { FakeMachine } from '../../support/fake-ports.js';
import { toModel } from '../../support/stage.js';
import type { SynthModel } from '../../support/synth-model.js';

/** What is heard of a tone when all its notes sound: pitches in cents by the order of the notes, and by their velocity. */
interface Heard {
  readonly kind: Tone['kind'];
  readonly cents: number[];
  readonly velocities: number[];
}

/**
 * Plays one round to a synth, and tells what it sounds of each tone.
 * @param spoil what the synth does otherwise than it was told
 */
async function hear(config: Partial<OutletConfig>, spoil: (model: SynthModel) => void = () => {}) {
  const machine = new FakeMachine();
  const synth = machine.plugSynth('Synth');
  const ports = machine.openPorts();
  const outlet = new LiveOutlet({ ...DEFAULT_OUTLET, ...config }, () => 0);
  outlet.cable.connect(ports.openOutput({ name: 'Synth', occurrence: 1 }));
  const heard: Heard[] = [];
  let tone: Tone | undefined;
  let nowMs = 0;
  let rounds = 0;
  await playTones(outlet, {
    now: () => nowMs,
    wait: async (ms) => {
      nowMs += ms;
      const model = toModel(synth.messages);
      spoil(model);
      if (tone === undefined || model.voices.length < tone.notes.length) return;
      heard.push({
        kind: tone.kind,
        cents: model.voices.map((voice) => model.centsOf(voice)),
        velocities: model.voices.map(({ velocity }) => velocity),
      });
      tone = undefined;
    },
    isOver: () => rounds > 1,
    before: (next) => {
      if (next === TONES[0]) rounds++;
      if (rounds === 1) tone = next;
    },
    check: () => {},
  });
  return { heard, model: toModel(synth.messages) };
}

const MTS = { kind: 'mts' } as const;
const KINDS: Partial<OutletConfig>[] = [
  { kind: 'mpe' },
  { kind: 'mpe', zone: 'upper', members: 3, bendRange: 12 },
  { kind: 'multichannel' },
  { kind: 'multichannel', channels: [4, 5], bendRange: 1 },
  MTS,
];

describe('the tones of a synth with the right bend range', () => {
  test.each(KINDS)('the tones over %j sound the exact ratios, and a unison', async (config) => {
    const { heard, model } = await hear(config);
    expect(heard.map(({ kind }) => kind)).toEqual(['note', 'third', 'fifth', 'unison']);
    const stepCents = config.kind === 'mts' ? 100 / 16384 : (config.bendRange ?? 48) / 81.92;
    for (const [i, above] of [
      [1, 1200 * Math.log2(5 / 4)],
      [2, 1200 * Math.log2(3 / 2)],
      [3, 0],
    ] as const) {
      const [low, high] = heard[i].cents;
      expect(Math.abs(low - 6000)).toBeLessThanOrEqual(stepCents / 2 + 1e-9);
      expect(Math.abs(high - low - above)).toBeLessThanOrEqual(stepCents);
    }
    expect(model.voices).toEqual([]);
    expect(model.faults).toEqual([]);
  });

  test('the tones begin softly', async () => {
    const { heard } = await hear({});
    expect(heard.map(({ velocities }) => velocities[0])).toEqual([24, 40, 40, 40]);
    expect(heard[0].velocities).toHaveLength(1);
  });
});

describe('the tones of a synth with another bend range', () => {
  /** It takes no notice of RPN 0. */
  const fixedAt =
    (semitones: number) =>
    ({ channels }: SynthModel): void => {
      for (const channel of channels) channel.rangeCents = 100 * semitones;
    };

  test.each([
    [{ kind: 'mpe' }, 2],
    [{ kind: 'mpe' }, 12],
    [{ kind: 'mpe' }, 24],
    [{ kind: 'mpe' }, 47],
    [{ kind: 'multichannel' }, 1],
    [{ kind: 'multichannel' }, 3],
    [{ kind: 'multichannel' }, 12],
    [{ kind: 'multichannel', bendRange: 24 }, 2],
  ] as const)(
    'the tones over %j with a wrong range of %i semitones have a unison of two pitches and a third that beats',
    async (config, semitones) => {
      const { heard } = await hear(config, fixedAt(semitones));
      const apart = heard.map(({ cents: [low, high = low] }) => high - low);
      // A cent and a half at middle C is a beat in five seconds: slow, but heard while the tone lasts.
      expect(Math.abs(apart[3])).toBeGreaterThan(1.5);
      const right = 1200 * Math.log2(5 / 4);
      const isFar = Math.abs(semitones - (('bendRange' in config ? config.bendRange : undefined) ?? 48)) > 2;
      if (config.kind === 'mpe' && isFar) expect(Math.abs(apart[1] - right)).toBeGreaterThan(5);
    },
  );
});

test('the tones end in silence when something throws between them', async () => {
  const machine = new FakeMachine();
  const synth = machine.plugSynth('Synth');
  const outlet = new LiveOutlet(DEFAULT_OUTLET, () => 0);
  outlet.cable.connect(machine.openPorts().openOutput({ name: 'Synth', occurrence: 1 }));
  let waits = 0;
  const playing = playTones(outlet, {
    now: () => waits,
    wait: () => (++waits === 4 ? Promise.reject(new Error('a string broke')) : Promise.resolve()),
    isOver: () => false,
    before: () => {},
    check: () => {},
  });
  await expect(playing).rejects.toThrow('a string broke');
  const model = toModel(synth.messages);
  expect(model.noteOns).toBeGreaterThan(0);
  expect(model.voices).toEqual([]);
});
