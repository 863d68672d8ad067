import { describe, expect, test } from 'vitest';
import { messages } from '../../support/midi-bytes.js';
import { numbers } from '../../support/numbers.js';
import { openMpe } from '../../support/outlets.js';

describe('an MPE outlet', () => {
  test('does what its documentation shows', () => {
    const { outlet, sent } = openMpe();
    expect(sent(() => outlet.start(0, 1, 0, 64, 90, 6386.314))).toEqual([
      [0xe1, 0x69, 0x3f],
      [0x91, 0x40, 0x5a],
    ]);
  });

  test.each([
    ['lower', 1],
    ['lower', 14],
    ['lower', 15],
    ['upper', 1],
    ['upper', 14],
    ['upper', 15],
  ] as const)('plays one note more than the %s zone of %d has members', (zone, members) => {
    const { synth, outlet } = openMpe({ zone, members });
    for (let i = 0; i < members; i++) outlet.start(0, i, 0, 40 + i, 90, 4010 + 113 * i);
    expect(new Set(synth.voices.map((v) => v.channel)).size).toBe(members);
    expect(outlet.counters).toMatchObject({ sharedNotes: 0, hurriedNotes: 0, peakChannels: members });
    outlet.start(0, 99, 0, 90, 90, 9050);
    expect([synth.voices.length, outlet.counters.sharedNotes]).toEqual([members + 1, 1]);
    expect(synth.faults).toEqual([]);
  });

  test('sends what is common to all notes to the manager, whatever the channel it came on', () => {
    const { outlet, sent } = openMpe({ zone: 'upper', members: 4 });
    outlet.start(0, 1, 0, 60, 90, 6000);
    const said = sent(() => {
      for (const controller of [64, 66, 67, 7, 11, 1, 0, 32, 74, 10])
        outlet.control(0, 0, 0xb3, controller, 100);
      outlet.control(0, 0, 0xc3, 19, 0);
      outlet.control(0, 0, 0xd3, 55, 0);
    });
    expect(said).toEqual([
      ...[64, 66, 67, 7, 11, 1, 0, 32, 74, 10].map((controller) => [0xbf, controller, 100]),
      [0xcf, 19],
      [0xdf, 55],
    ]);
  });

  test('turns poly pressure into the pressure of the note, and takes it back before the next note there', () => {
    const { outlet, sent } = openMpe({ members: 1 });
    outlet.start(0, 1, 0, 60, 90, 6000);
    expect(sent(() => outlet.control(0, 0, 0xa5, 60, 70))).toEqual([[0xd1, 70]]);
    expect(sent(() => outlet.control(0, 0, 0xa5, 61, 70))).toEqual([]);
    expect(sent(() => outlet.control(0, 1, 0xa5, 60, 70))).toEqual([]);
    outlet.release(1, 1, 64);
    outlet.end(1, 1);
    expect(sent(() => outlet.start(900, 2, 0, 62, 90, 6200))).toEqual(messages('0xd1 0, 0x91 62 90'));
    outlet.control(900, 0, 0xa0, 62, 33);
    expect(sent(() => outlet.control(900, 0, 0xb0, 121, 0)).at(-1)).toEqual([0xd1, 0]);
  });

  test('assigns poly pressure by the key played, though another key was sent', () => {
    const { outlet, sent } = openMpe();
    outlet.start(0, 1, 0, 60, 90, 6150);
    expect(sent(() => outlet.control(0, 0, 0xa0, 60, 70))).toEqual([[0xd1, 70]]);
    expect(sent(() => outlet.release(1, 1, 64))).toEqual([[0x81, 62, 64]]);
  });

  test('adds the wheel on the members, scaled from the range of the input', () => {
    const { synth, outlet } = openMpe();
    outlet.start(0, 1, 0, 60, 90, 6014);
    outlet.start(0, 2, 1, 64, 90, 6400);
    for (const [controller, value] of messages('101 0, 100 0, 6 12, 38 0'))
      outlet.control(0, 0, 0xb0, controller, value);
    outlet.control(0, 0, 0xe0, 0, 96);
    expect(synth.centsOf(synth.voices[0])).toBeCloseTo(6614, 0);
    expect(synth.centsOf(synth.voices[1])).toBeCloseTo(6400, 0);
    expect(synth.channels[0].bend).toBe(8192);
    expect(synth.channels[0].rangeCents).toBe(200);
  });

  test('sends a reopened receiver what was set before its next note', () => {
    const { outlet, sent } = openMpe();
    outlet.control(0, 0, 0xc0, 19, 0);
    outlet.control(0, 0, 0xb0, 7, 80);
    outlet.open();
    expect(sent(() => outlet.start(0, 1, 0, 60, 90, 6000))).toEqual(
      numbers('0xc0 19, 0xb0 7 80, 0x91 60 90'),
    );
  });

  test('passes All Notes Off to the manager, and is right when the notes end after it', () => {
    const { synth, outlet, sent } = openMpe();
    outlet.start(0, 1, 0, 60, 90, 6000);
    expect(sent(() => outlet.control(0, 0, 0xb0, 123, 0))).toEqual([[0xb0, 123, 0]]);
    expect(sent(() => outlet.release(0, 1, 64))).toEqual([[0x81, 60, 64]]);
    outlet.end(0, 1);
    expect(synth.voices).toEqual([]);
  });

  test('passes system messages unchanged', () => {
    const { outlet, sent } = openMpe();
    expect(sent(() => outlet.system(Uint8Array.of(0xf8)))).toEqual([[0xf8]]);
  });
});
