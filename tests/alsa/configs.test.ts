import { readdirSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { afterEach, beforeEach, describe, expect, test } from 'vitest';
import { toChannel } from '../../src/app/live/input-parts.js';
import {
  type ActionRule,
  type LiveSettings,
  type OutletConfig,
  toBendRange,
} from '../../src/app/live/live-settings.js';
import { toPlayers } from '../../src/app/live/split-settings.js';
import { createOutlet } from '../../src/app/outlet-choice.js';
import { gatherLiveSettings } from '../../src/cli/settings/index.js';
import { type OutputLink, openPortSystem, type PortSystem } from '../../src/io/ports/index.js';
import { NO_SEQUENCER } from '../support/alsa.js';
import { type FarSynth, listenTo, makeSynth, openNamed } from '../support/far-synth.js';
import { LeewayProcess } from '../support/live-process.js';
import { useTemporaryFolder } from '../support/temporary-folder.js';
import { pause, until } from '../support/until.js';

const CONFIGS = fileURLToPath(new URL('../../configs/', import.meta.url));
const NAMES = readdirSync(CONFIGS).filter((name) => name.endsWith('.toml'));
const CHORD = [48, 60, 64, 67];
/** The velocity of what is played; a cue has another. */
const HAND = 80;

/** The messages that press and lift what asks for an action. */
function toTrigger({ on: { kind, number, channel = 0 } }: ActionRule): number[][] {
  if (kind === 'program') return [[0xc0 | channel, number]];
  if (kind === 'note')
    return [
      [0x90 | channel, number, 80],
      [0x80 | channel, number, 64],
    ];
  return [127, 0].map((value) => [0xb0 | channel, number, value]);
}

describe.skipIf(NO_SEQUENCER !== undefined)('the settings files, as they are, on a real sequencer', () => {
  const folder = useTemporaryFolder();
  let far: PortSystem;
  let live: LeewayProcess | undefined;

  beforeEach(async () => {
    far = await openPortSystem();
  });
  afterEach(async () => {
    live?.kill('SIGKILL');
    await live?.ended;
    live = undefined;
    far.close();
  });

  test.each(NAMES)(
    '%s: every keyboard plays its synths in tune, no action ends a held note, and all is silent at the end',
    async (name) => {
      const gathered = await gatherLiveSettings(CONFIGS + name, {});
      if (!gathered.ok) throw gathered.mistakes[0];
      const { settings } = gathered;
      const { inputs, outlets, actions, lamps } = settings;

      const hands = new Map<string, OutputLink>();
      const synths = new Map<OutletConfig, FarSynth>();
      for (const { port, virtual } of inputs) if (!virtual) hands.set(port, far.createOutput(port));
      for (const outlet of outlets) if (!outlet.virtual) synths.set(outlet, makeSynth(far, outlet.port));
      const panels = new Map<string, FarSynth>();
      for (const { port } of lamps) panels.set(port, panels.get(port) ?? makeSynth(far, port));
      live = new LeewayProcess(['live', CONFIGS + name], false, folder());
      await live.says('Ready to play');
      for (const { port } of inputs) await live.says(`Input "${port}" is open`);
      for (const { port } of [...outlets, ...lamps]) await live.says(`Output "${port}" is open`);
      for (const { port, virtual } of inputs) if (virtual) hands.set(port, openNamed(far, port));
      for (const outlet of outlets) {
        if (!outlet.virtual) continue;
        const synth = listenTo(far, outlet.port);
        // It was set up before it was connected, by hand, as the file says.
        createOutlet({ ...outlet, bendRange: toBendRange(outlet) }, synth.model, toChannel).open();
        synths.set(outlet, synth);
      }

      const keyboards = inputs.filter(({ channels }) => channels?.length !== 0);
      expect(keyboards.length).toBeGreaterThan(0);
      for (const { port, channels } of keyboards) {
        const hand = hands.get(port)!;
        const channel = channels?.[0] ?? 0;
        const its = playedBy(settings, port).map((outlet) => synths.get(outlet)!);
        expect(its.length).toBeGreaterThan(0);
        const strike = async (): Promise<boolean> => {
          for (const key of CHORD) hand.send(Uint8Array.of(0x90 | channel, key, HAND));
          await until('the chord', () => its.every(({ model }) => model.voices.length === CHORD.length));
          // The glides of a strike are over.
          await pause(500);
          return its.every(isInTune);
        };
        const lift = async (): Promise<void> => {
          for (const key of CHORD) hand.send(Uint8Array.of(0x80 | channel, key, 64));
          await until('silence', () => its.every(({ model }) => model.voices.length === 0));
        };
        // A busy machine may bring the notes apart, so that they are no chord.
        let isPure = await strike();
        for (let again = 0; again < 4 && !isPure; again++) {
          await lift();
          isPure = await strike();
        }
        expect(isPure).toBe(true);
        for (const rule of actions) {
          if (rule.action === 'panic') continue;
          const chord = () =>
            its.map(({ model }) =>
              model.voices.filter(({ isDown, velocity }) => isDown && velocity === HAND),
            );
          const before = chord();
          const asker = hands.get(rule.on.input ?? port)!;
          for (const message of toTrigger(rule)) asker.send(Uint8Array.from(message));
          await pause(150);
          // The same voices, each from its own note-on.
          expect(chord()).toEqual(before);
          expect(chord().map(({ length }) => length)).toEqual(its.map(() => CHORD.length));
          const lamp = lamps.find(({ shows }) => shows === rule.action);
          if (lamp === undefined) continue;
          const { model } = panels.get(lamp.port)!;
          await until('its lamp', () => model.controllerOf(lamp.channel, lamp.number) === lamp.on);
        }
        await lift();
      }
      const panic = actions.find(({ action }) => action === 'panic');
      if (panic !== undefined) {
        const [{ port, channels }] = keyboards;
        const its = playedBy(settings, port).map((outlet) => synths.get(outlet)!);
        hands.get(port)!.send(Uint8Array.of(0x90 | (channels?.[0] ?? 0), 60, 80));
        await until('a note', () => its.every(({ model }) => model.voices.length === 1));
        for (const message of toTrigger(panic))
          hands.get(panic.on.input ?? port)!.send(Uint8Array.from(message));
        await until('silence', () => its.every(({ model }) => model.voices.length === 0));
      }
      live.kill('SIGTERM');
      expect(await live.ended).toBe(0);
      for (const { model } of synths.values()) {
        expect(model.voices).toEqual([]);
        expect(model.faults).toEqual([]);
      }
    },
    180_000,
  );
});

/** Whether the chord sounds 1 : 2 : 5/2 : 3, in cents from the bass; a bend step of a zone is 0.6 cents. */
function isInTune({ model }: FarSynth): boolean {
  const cents = model.voices.map((voice) => model.centsOf(voice)).sort((a, b) => a - b);
  return [0, 1200, 1586.314, 1901.955].every((wanted, i) => Math.abs(cents[i] - cents[0] - wanted) < 1.2);
}

function playedBy({ inputs, splits, outlets }: LiveSettings, port: string): OutletConfig[] {
  return outlets.filter((outlet) => toPlayers(inputs, splits, outlet).some(({ input }) => input === port));
}
