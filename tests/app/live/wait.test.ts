import { describe, expect, test } from 'vitest';
import { Stage, stageSettings } from '../../support/stage.js';

/** Each channel's bends after its first note-on. */
function toMoves(messages: readonly (readonly number[])[]): number {
  const started = new Set<number>();
  let moves = 0;
  for (const [status] of messages) {
    if ((status & 0xf0) === 0x90) started.add(status & 0x0f);
    if ((status & 0xf0) === 0xe0 && started.has(status & 0x0f)) moves++;
  }
  return moves;
}

/** A chord from the top down, 4 ms between its notes: the upper ones are guessed at first. */
function roll(waitMs: number, kind: 'mpe' | 'multichannel'): Stage {
  const settings = stageSettings({ waitMs }, { strategy: 'free' });
  const stage = new Stage({ ...settings, outlets: [{ ...settings.outlets[0], kind }] });
  stage.wait(600);
  stage.synth.received.length = 0;
  for (const key of [76, 67, 62, 57]) stage.strike(key).wait(4);
  return stage.wait(60);
}

describe.each(['mpe', 'multichannel'] as const)('a chord that gathers, over %s,', (kind) => {
  test('starts in tune: no note moves after it began', () => {
    expect(toMoves(roll(0, kind).synth.messages)).toBeGreaterThan(0);
    expect(toMoves(roll(20, kind).synth.messages)).toBe(0);
  });

  test('sounds what it sounds without the wait', () => {
    const [now, late] = [roll(0, kind), roll(20, kind)].map((stage) => {
      const model = stage.model();
      return model.voices.map((voice) => Math.round(model.centsOf(voice)));
    });
    expect(late).toEqual(now);
  });
});

test('every message waits for the same time', () => {
  const stage = new Stage(stageSettings({ waitMs: 7 }));
  // On an even millisecond, so that ticks two apart would come late.
  stage.wait(604);
  const before = stage.synth.sends;
  const struckMs = stage.nowMs;
  stage.strike(60);
  expect(stage.synth.sends).toBe(before);
  while (stage.synth.sends === before && stage.nowMs < struckMs + 50) stage.wait(1);
  expect(stage.nowMs - struckMs).toBe(7);
});

test('a note that waits never starts after a panic or a stop', () => {
  const stage = new Stage(stageSettings({ waitMs: 20 }));
  stage.wait(600).strike(60);
  stage.session.panic();
  stage.wait(100);
  expect(stage.model().noteOns).toBe(0);
  stage.lift(60).strike(62);
  stage.session.stop();
  expect([stage.model().noteOns, stage.model().voices.length]).toEqual([0, 0]);
});

test('untuned notes wait as long as tuned ones, so that drums stay with the chord', () => {
  const settings = stageSettings({ waitMs: 10 });
  const stage = new Stage({
    ...settings,
    inputs: [{ ...settings.inputs[0], channels: [0] }],
    outlets: [{ ...settings.outlets[0], kind: 'mts' }],
  });
  stage.wait(600);
  stage.synth.received.length = 0;
  stage.strike(60);
  stage.keys.feed(0x99, 36, 90);
  stage.wait(9);
  expect(stage.synth.messages).toEqual([]);
  stage.wait(3);
  const played = stage.synth.messages.filter(([status]) => (status & 0xf0) === 0x90);
  expect(played.map(([status]) => status)).toEqual([0x90, 0x99]);
});
