import { describe, expect, test } from 'vitest';
import { FakeMachine } from '../support/fake-ports.js';
import { ByteRing, createRingMemory } from './byte-ring.js';
import { HeardSynth } from './heard-synth.js';
import { Listening } from './listening.js';

function create(log2Bytes = 12) {
  const ring = new ByteRing(createRingMemory(log2Bytes));
  const machine = new FakeMachine();
  const synth = new HeardSynth(machine, 'Organ', 1, ring);
  const listening = new Listening(['Synth', 'Organ'], () => 0);
  const open = () => machine.openPorts().openOutput({ name: 'Organ', occurrence: 1 });
  const report = () => {
    ring.read((kind, bytes) => listening.hear(kind, bytes));
    return listening.report()[1];
  };
  return { synth, open, report };
}

describe('a synth that is heard', () => {
  test('gives the listener what it was sent, and nothing that was lost or refused', () => {
    const { synth, open, report } = create();
    const link = open();
    link.send(Uint8Array.of(0x90, 60, 64));
    expect(report()).toMatchObject({ sounding: 1, messages: 1 });
    synth.refuseNext();
    expect(() => link.send(Uint8Array.of(0x80, 60, 64))).toThrow('Organ');
    synth.unplug();
    link.send(Uint8Array.of(0x80, 60, 64));
    expect(report()).toMatchObject({ sounding: 1, messages: 1 });
    synth.replug();
    open().send(Uint8Array.of(0x80, 60, 64));
    open().send(Uint8Array.of(0x80, 60, 64));
    expect(report()).toMatchObject({ sounding: 0, messages: 3, spareNoteOffs: 1, faults: [] });
    expect(synth.counts).toEqual({ arrived: 3, lost: 1, refused: 1, unheard: 0 });
  });

  test('counts what the ring had no room for', () => {
    const { synth, open, report } = create(4);
    const link = open();
    for (const key of [60, 62, 64]) link.send(Uint8Array.of(0x90, key, 64));
    expect(synth.counts).toMatchObject({ arrived: 3, unheard: 1 });
    expect(report()).toMatchObject({ messages: 2 });
  });
});
