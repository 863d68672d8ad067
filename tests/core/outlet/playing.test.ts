import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import {
  createMpe,
  createMts,
  createMultichannel,
  type Outlet,
  PLAIN_CHANNELS,
} from '../../../src/core/outlet/index.js';
import { forAll } from '../../support/properties.js';
import { SynthModel } from '../../support/synth-model.js';
import { type Act, playing } from './acts.js';
import { Player, type Terms } from './player.js';

/** Half a bend step, and what MPE's receivers (which divide by 8191 where senders divide by 8192) add to a bend. */
const withinHalfAStep = (rangeSemitones: number, isMpe: boolean) => (bentCents: number) =>
  (50 * rangeSemitones) / 8192 + (isMpe ? (Math.abs(bentCents) + rangeSemitones * 0.01) / 8191 : 0) + 1e-6;

interface Setup {
  readonly name: string;
  readonly parts: number;
  readonly make: (sink: SynthModel) => Outlet;
  readonly terms: Terms;
}

function mpe(zone: 'lower' | 'upper', members: number, parts: number, rangeSemitones: number): Setup {
  const channels = Array.from({ length: members }, (_, i) => (zone === 'lower' ? 1 + i : 14 - i));
  return {
    name: `mpe, ${zone} zone, ${members} members, ${parts} parts`,
    parts,
    make: (sink) => createMpe({ zone, members, rangeSemitones, releaseHoldMs: 300, sink }),
    terms: {
      channels,
      isOneInstrument: true,
      addsWheel: true,
      isOneTable: false,
      tolerance: withinHalfAStep(rangeSemitones, true),
      releaseHoldMs: 300,
    },
  };
}

function multichannel(channels: readonly number[], parts: number, rangeSemitones: number): Setup {
  return {
    name: `multichannel, ${channels.length} channels, ${parts} parts`,
    parts,
    make: (sink) => createMultichannel({ channels, rangeSemitones, releaseHoldMs: 300, sink }),
    terms: {
      channels,
      isOneInstrument: false,
      addsWheel: true,
      isOneTable: false,
      tolerance: withinHalfAStep(rangeSemitones, false),
      releaseHoldMs: 300,
    },
  };
}

function mts(parts: number, channelOf: (part: number) => number, isOneInstrument: boolean): Setup {
  return {
    name: `mts, ${parts} parts`,
    parts,
    make: (sink) => createMts({ device: 0x7f, program: 5, channelOf, sink }),
    terms: {
      channels: Array.from({ length: parts }, (_, part) => channelOf(part)),
      isOneInstrument,
      addsWheel: false,
      isOneTable: true,
      tolerance: () => 50 / 16384 + 1e-6,
    },
  };
}

const SETUPS: Setup[] = [
  mpe('lower', 15, 1, 48),
  mpe('upper', 14, 3, 48),
  mpe('lower', 1, 2, 24),
  mpe('upper', 3, 2, 96),
  multichannel(PLAIN_CHANNELS, 1, 24),
  multichannel(PLAIN_CHANNELS, 4, 24),
  multichannel([0, 2, 5], 3, 12),
  multichannel([11], 2, 2),
  mts(1, () => 0, true),
  mts(3, (part) => part + 2, false),
];

function perform(setup: Setup, acts: readonly Act[]): { synth: SynthModel; outlet: Outlet; player: Player } {
  const synth = new SynthModel();
  const outlet = setup.make(synth);
  const player = new Player(outlet, synth, setup.terms);
  player.play(acts);
  return { synth, outlet, player };
}

describe.each(SETUPS)('an outlet in any playing: $name', (setup) => {
  test('sounds what was asked for, and is silent in the end', () => {
    forAll([playing(setup.parts, 80)], 80, (acts) => {
      const { synth, player } = perform(setup, acts);
      player.finish();
      expect(synth.voices).toEqual([]);
      expect(synth.noteOffs).toBe(synth.noteOns);
    });
  });

  test('follows drift without limit', () => {
    forAll([playing(setup.parts, 2000, 60)], 40, (acts) => {
      const { synth, player } = perform(setup, acts);
      player.finish();
      expect(synth.voices).toEqual([]);
    });
  });

  test('is silent after a drain at any moment, plays on, and comes back on another receiver', () => {
    forAll(
      [playing(setup.parts, 80, 50), playing(setup.parts, 80, 50), fc.boolean()],
      40,
      (before, after, reopen) => {
        const { synth, player } = perform(setup, [
          ...before,
          { do: reopen ? 'reopen' : 'drain' },
          ...after,
          { do: 'drain' },
        ]);
        player.finish();
        expect(synth.noteOffs).toBe(synth.noteOns);
      },
    );
  });
});
