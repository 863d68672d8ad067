import { expect, test } from 'vitest';
import { Readiness } from '../../src/cli/live-ready.js';
import { Stage, stageSettings } from '../support/stage.js';

/** Keys and a synth that may be missing at the start, and what is told. */
function setUp(plugged: { keys: boolean; synth: boolean }, hasPage = false, settings = stageSettings()) {
  const told: string[] = [];
  let readiness: Readiness | undefined;
  const note = (text: string | undefined): void => {
    if (text !== undefined) told.push(text);
  };
  const stage = new Stage(settings, undefined, { tell: () => note(readiness?.look()) });
  if (!plugged.keys) stage.keys.unplug();
  if (!plugged.synth) stage.synth.unplug();
  stage.wait(1000);
  readiness = new Readiness(stage.session, hasPage);
  note(readiness.look());
  note(readiness.greet());
  return { stage, told };
}

test.each([
  [{ keys: true, synth: true }, false, 'Ready to play.'],
  [{ keys: false, synth: true }, false, 'Not ready to play yet: no input is open.'],
  [{ keys: true, synth: false }, false, 'Not ready to play yet: no output is open.'],
  [{ keys: false, synth: false }, false, 'Not ready to play yet: no input and no output is open.'],
  [{ keys: false, synth: true }, true, 'Ready to play.'],
  [{ keys: false, synth: false }, true, 'Not ready to play yet: no output is open.'],
])('with %j plugged in, and a page: %s, a session begins with %j', (plugged, hasPage, text) =>
  expect(setUp(plugged, hasPage).told).toEqual([text]),
);

test('a page without any output is ready to play, since it plays itself', () =>
  expect(setUp({ keys: false, synth: false }, true, stageSettings({ outlets: [] })).told).toEqual([
    'Ready to play.',
  ]));

test('a session that waits is ready to play when its last port comes, and again when it has come back', () => {
  const { stage, told } = setUp({ keys: true, synth: false });
  told.splice(0);
  const synth = stage.machine.plugSynth('Synth');
  stage.wait(1000);
  expect(told).toEqual(['Ready to play.']);
  stage.keys.unplug();
  stage.wait(1000);
  stage.machine.plugKeys('Keys');
  stage.wait(1000);
  expect(told).toEqual(['Ready to play.', 'Ready to play.']);
  expect(synth.messages.length).toBeGreaterThan(0);
});
