import { describe, expect, test } from 'vitest';
import { DEFAULT_OUTLET } from '../../../src/app/live/live-settings.js';
import { claims } from '../../../src/app/outlet-choice.js';
import { Stage, stageSettings } from '../../support/stage.js';

const DRUM = Uint8Array.of(0x99, 36, 100);

function stageWith(changes: Partial<typeof DEFAULT_OUTLET>): Stage {
  return new Stage(
    stageSettings({ outlets: [{ ...DEFAULT_OUTLET, port: 'Synth', virtual: false, ...changes }] }),
  );
}

/** What goes out on the percussion channel while something is done. */
function percussionOf(stage: Stage, act: () => void): number[][] {
  const before = stage.synth.messages.length;
  act();
  return stage.synth.messages.slice(before).filter(([status]) => status < 0xf0 && (status & 0x0f) === 9);
}

describe('percussion of a piece', () => {
  test.each([
    ['plain channels', { kind: 'multichannel' as const }],
    ['the MIDI Tuning Standard', { kind: 'mts' as const }],
    ['a zone that ends before it', { kind: 'mpe' as const, members: 8 }],
  ])('percussion is sent unchanged over %s, and none of its notes is tuned', (_, changes) => {
    const stage = stageWith(changes);
    expect(percussionOf(stage, () => stage.session.playPiece(DRUM))).toEqual([[...DRUM]]);
    expect(stage.session.line.tuner.notes).toEqual([]);
    expect(percussionOf(stage, () => stage.session.playPiece(Uint8Array.of(0x89, 36, 64)))).toEqual([
      [0x89, 36, 64],
    ]);
    expect(percussionOf(stage, () => stage.session.leavePiece())).toEqual([]);
  });

  test('is not sent on a channel that an MPE zone uses', () => {
    const stage = stageWith({ kind: 'mpe', members: 15 });
    expect(percussionOf(stage, () => stage.session.playPiece(DRUM))).toEqual([]);
  });

  test('is released when the piece stops', () => {
    const stage = stageWith({ kind: 'multichannel' });
    stage.session.playPiece(DRUM);
    expect(percussionOf(stage, () => stage.session.leavePiece())).toEqual([[0x89, 36, 64]]);
    expect(percussionOf(stage, () => stage.session.leavePiece())).toEqual([]);
  });
});

test('a keyboard unplugged while a key is down on an untuned channel leaves no note hanging', () => {
  const settings = stageSettings();
  const stage = new Stage({ ...settings, inputs: [{ ...settings.inputs[0], channels: [0] }] });
  stage.keys.feed(0x93, 50, 80);
  const before = stage.synth.messages.length;
  stage.keys.unplug();
  stage.wait(1000);
  expect(stage.synth.messages.slice(before)).toContainEqual([0x83, 50, 64]);
});

test.each([
  ['lower, all', { zone: 'lower', members: 15 }, [0, 1, 9, 15]],
  ['lower, 8', { zone: 'lower', members: 8 }, [0, 1, 8]],
  ['upper, 5', { zone: 'upper', members: 5 }, [10, 15]],
  ['upper, 6', { zone: 'upper', members: 6 }, [9, 15]],
] as const)('a zone (%s) takes its manager and its members away from percussion', (_, zone, channels) => {
  const claimed = (channel: number) => claims({ kind: 'mpe', bendRange: 48, ...zone }, channel);
  for (const channel of channels) expect(claimed(channel)).toBe(true);
  const [least, most] = [Math.min(...channels), Math.max(...channels)];
  expect(least === 0 || !claimed(least - 1)).toBe(true);
  expect(most === 15 || !claimed(most + 1)).toBe(true);
});
