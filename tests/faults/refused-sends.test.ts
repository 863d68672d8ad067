import { describe, expect, test } from 'vitest';
import { CONCERT } from '../support/concert.js';
import { Stage, stageSettings } from '../support/stage.js';

function play(stage: Stage): void {
  for (const { waitMs, bytes } of CONCERT) {
    stage.wait(waitMs);
    stage.keys.feed(...bytes);
  }
}

/** How many messages the whole performance sends, the settings of the port included. */
const SENDS = (() => {
  const stage = new Stage();
  play(stage);
  stage.wait(500).session.stop();
  return stage.synth.sends;
})();

describe.each(['mpe', 'multichannel', 'mts'] as const)('a failing send over %s', (kind) => {
  const settings = stageSettings();
  const outlets = [{ ...settings.outlets[0], kind }];

  test('leaves nothing sounding, when it fails once at any message of a performance', () => {
    expect(SENDS).toBeGreaterThan(150);
    for (let n = 1; n <= SENDS + 20; n++) {
      const stage = new Stage({ ...settings, outlets });
      const before = stage.synth.sends;
      stage.synth.refuses = (sent) => sent === before + n;
      play(stage);
      stage.wait(500);
      const model = stage.model();
      if (model.voices.length > 0) expect({ n, voices: model.voices }).toEqual({ n, voices: [] });
      const refused = stage.synth.sends >= before + n ? 1 : 0;
      const { sink } = stage.session.outlets[0];
      expect(stage.session.counters).toMatchObject({ faults: 0, mends: refused });
      expect(stage.synth.received).toHaveLength(sink.sentMessages);
      expect(sink.refusedMessages).toBeGreaterThanOrEqual(refused);
      stage.synth.refuses = () => false;
      stage.strike(60, 64, 67).wait(100);
      expect(stage.model().voices).toHaveLength(3);
      stage.session.stop();
      expect(stage.model().voices).toEqual([]);
    }
  });

  test('gives the port up, when it fails from any message on, and it is silent when it works again', () => {
    for (let n = 1; n <= SENDS; n += 3) {
      const stage = new Stage({ ...settings, outlets });
      const before = stage.synth.sends;
      let isBroken = true;
      stage.synth.refuses = (sent) => isBroken && sent >= before + n;
      play(stage);
      if (stage.synth.sends >= before + n) expect(stage.told()).toContain('failed');
      isBroken = false;
      stage.wait(10_000);
      const model = stage.model();
      if (model.voices.length > 0) expect({ n, voices: model.voices }).toEqual({ n, voices: [] });
      stage.strike(60, 64, 67).wait(100);
      expect(stage.model().voices).toHaveLength(3);
    }
  });
});
