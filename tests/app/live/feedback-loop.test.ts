import { describe, expect, test } from 'vitest';
import { type Cable, LoopedStage } from '../../support/looped-stage.js';
import { stageSettings } from '../../support/stage.js';

const CHORD = [60, 64, 67, 72];
const KINDS = ['mpe', 'multichannel', 'mts'] as const;
type Kind = (typeof KINDS)[number];
const CABLES: readonly Cable[] = ['at once', 'din', 5, 20];

/** @param channels of the keyboard that are tuned; all if it isn't given. It plays on the first. */
function toSettings(kind: Kind, channels?: readonly number[]) {
  const base = stageSettings();
  return stageSettings({
    inputs: [{ ...base.inputs[0], channels }],
    outlets: [{ ...base.outlets[0], kind }],
  });
}

/** What is left when all has come round that will. */
function expectSilence(stage: LoopedStage): void {
  expect(stage.flying).toBe(0);
  expect(stage.model().voices).toEqual([]);
}

describe.each(KINDS)('a loop of %s', (kind) => {
  describe.each([
    ['tuned', undefined],
    ['not tuned', [5]],
  ] as const)('on a channel that is %s', (_, channels) => {
    test.each(CABLES)(
      'over a cable (%s) is cut within a second and 200 messages, and stays silent',
      (cable) => {
        const stage = new LoopedStage(cable, toSettings(kind, channels)).join();
        // What opening the outlet sent didn't come back.
        const before = stage.synth.sends;
        const struckMs = stage.nowMs;
        stage.strike(...CHORD).wait(2000);
        expect(stage.foundMs! - struckMs).toBeLessThanOrEqual(1000);
        expect(stage.synth.sends - before).toBeLessThanOrEqual(200);
        expect(stage.told().filter((told) => told === 'loop-found')).toHaveLength(1);
        expect(stage.events).toContainEqual({ kind: 'loop-found', input: 'Keys', outlet: 'Synth' });
        expect(stage.told()).not.toContain('fuse-open');
        expectSilence(stage);

        // While the cable is there, a panic opens the input, and what it sends goes round no more than once.
        const cut = stage.synth.sends;
        stage.session.panic();
        stage.wait(3000);
        expect(stage.told()).toContain('input-reopened');
        const drain = stage.synth.sends - cut;
        expect(drain).toBeLessThan(100);
        expectSilence(stage);

        // A chord is cut again.
        stage.strike(...CHORD).wait(2000);
        expect(stage.told().filter((told) => told === 'loop-found')).toHaveLength(2);
        expectSilence(stage);

        // Without the cable all is as it was.
        stage.part().session.panic();
        stage.lift(...CHORD).wait(50);
        stage.strike(...CHORD).wait(200);
        expect(stage.model().voices).toHaveLength(4);
      },
    );

    test.each([40, 100, 400])('over a cable of %i ms ends with a panic', (cable) => {
      const stage = new LoopedStage(cable, toSettings(kind, channels)).join();
      stage.strike(...CHORD).wait(150);
      stage.session.panic();
      const sent = stage.synth.sends;
      stage.wait(3000);
      expect(stage.synth.sends).toBe(sent);
      expectSilence(stage);
    });
  });

  test.each([40, 100, 300])('over a cable of %i ms is found by what we chose for its notes', (cable) => {
    const stage = new LoopedStage(cable, toSettings(kind)).join();
    const struckMs = stage.nowMs;
    const before = stage.synth.sends;
    stage.strike(...CHORD).wait(3000);
    expect(stage.foundMs! - struckMs).toBeLessThanOrEqual(1000);
    expect(stage.synth.sends - before).toBeLessThanOrEqual(200);
    expectSilence(stage);
  });

  test('that is there when it starts is cut at the first chord, if not before', () => {
    for (const cable of ['din', 5, 20, 100] as const) {
      const stage = new LoopedStage(cable, toSettings(kind));
      stage.synth.unplug();
      stage.wait(600);
      stage.synth = stage.machine.plugSynth('Synth');
      stage.join().wait(1000);
      const struckMs = stage.nowMs;
      stage.strike(...CHORD).wait(2000);
      expect((stage.foundMs ?? Infinity) - struckMs).toBeLessThanOrEqual(1000);
      expectSilence(stage);
    }
  });

  test('over a DIN cable that the outlet knows of is cut within a second and 200 messages', () => {
    const settings = toSettings(kind);
    const outlets = settings.outlets.map((outlet) => ({ ...outlet, wire: 'din' as const }));
    const stage = new LoopedStage('din', { ...settings, outlets }).join();
    const struckMs = stage.nowMs;
    const before = stage.synth.sends;
    stage.strike(...CHORD).wait(2000);
    expect(stage.foundMs! - struckMs).toBeLessThanOrEqual(1000);
    expect(stage.synth.sends - before).toBeLessThanOrEqual(200);
    expectSilence(stage);
  });

  test('of a SysEx that passes is cut', () => {
    for (const cable of CABLES) {
      const stage = new LoopedStage(cable, toSettings(kind)).join();
      const before = stage.synth.sends;
      stage.keys.feed(0xf0, 0x7d, 1, 2, 3, 0xf7);
      stage.wait(1000);
      expect(stage.told()).toContain('loop-found');
      expect(stage.synth.sends - before).toBeLessThanOrEqual(200);
      expectSilence(stage);
    }
  });

  test('of a clock is cut', () => {
    for (const cable of CABLES) {
      const stage = new LoopedStage(cable, toSettings(kind)).join();
      for (let tick = 0; tick < 96; tick++) {
        stage.keys.feed(0xf8);
        stage.wait(500 / 24);
      }
      expect([cable, stage.told().includes('loop-found')]).toEqual([cable, true]);
    }
  });
});

test('a panic by a switch on the input that hears itself is no use, on another input it is', () => {
  const base = toSettings('mpe');
  const stage = new LoopedStage('din', {
    ...base,
    inputs: [...base.inputs, { ...base.inputs[0], port: 'Pedals' }],
    actions: [
      {
        on: { kind: 'controller', number: 67, channel: undefined, input: undefined },
        action: 'panic',
        strategy: undefined,
      },
    ],
  });
  const pedals = stage.machine.plugKeys('Pedals');
  stage.wait(600).join();
  stage.strike(...CHORD).wait(500);
  stage.keys.feed(0xb0, 67, 127);
  expect(stage.told()).not.toContain('input-reopened');
  pedals.feed(0xb0, 67, 127);
  expect(stage.told()).toContain('input-reopened');
});
