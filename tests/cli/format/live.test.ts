import { expect, test } from 'vitest';
import { DEFAULT_LAMP } from '../../../src/app/live/lamps.js';
import { DEFAULT_INPUT, DEFAULT_LIVE_SETTINGS, DEFAULT_OUTLET } from '../../../src/app/live/live-settings.js';
import { DEFAULT_SPLIT } from '../../../src/app/live/split-settings.js';
import { ACTION_WORDS, formatLive } from '../../../src/cli/format/live.js';
import { toSettings } from '../../../src/core/tuner/index.js';

const LAMP = {
  ...DEFAULT_LAMP,
  port: 'L',
  virtual: false,
  kind: 'controller',
  number: 20,
  is: undefined,
} as const;
const any = { channel: undefined, input: undefined };

test('every action has words for people', () => {
  expect(Object.values(ACTION_WORDS).filter((words) => words === '')).toEqual([]);
});

test('the start of live describes every kind of setting', () => {
  const lines = formatLive({
    ...DEFAULT_LIVE_SETTINGS,
    inputs: [
      { ...DEFAULT_INPUT, port: 'A', virtual: false, bendRange: 1, channels: [0] },
      { ...DEFAULT_INPUT, port: 'P', channels: [] },
      { ...DEFAULT_INPUT, port: 'O', virtual: false, role: 'fixed' },
      { ...DEFAULT_INPUT, port: 'G', virtual: false, role: 'guide', channels: [1] },
      { ...DEFAULT_INPUT, port: 'D', virtual: false, role: 'untuned' },
      { ...DEFAULT_INPUT, port: 'M', virtual: false, mpe: 'upper' },
      { ...DEFAULT_INPUT, port: 'S', virtual: false, mpe: 'off' },
    ],
    splits: [
      { ...DEFAULT_SPLIT, input: 'S', name: 'Low', highest: 59, transpose: -12, controllers: false },
      { ...DEFAULT_SPLIT, input: 'S', lowest: 60, transpose: 1, role: 'untuned', channels: [2] },
    ],
    waitMs: 5,
    outlets: [
      { ...DEFAULT_OUTLET, port: 'X', virtual: false, zone: 'upper', members: 1, from: ['A'] },
      { ...DEFAULT_OUTLET, kind: 'multichannel', channels: [0, 1, 2], wire: 'din' },
      { ...DEFAULT_OUTLET, kind: 'multichannel', bendRange: 12 },
      { ...DEFAULT_OUTLET, kind: 'mts' },
    ],
    actions: [
      {
        on: { kind: 'note', number: 58, channel: 15, input: 'P' },
        action: 'strategy',
        strategy: 'pull',
      },
      {
        on: { kind: 'program', number: 0, channel: undefined, input: undefined },
        action: 'bypass',
        strategy: undefined,
      },
      { on: { kind: 'program', number: 1, ...any }, action: 'limit', strategy: undefined, limit: 7 },
      {
        on: { kind: 'program', number: 2, ...any },
        action: 'tonic',
        strategy: undefined,
        tonic: { keyClass: 6, fifths: 6 },
      },
      {
        on: { kind: 'controller', number: 67, switch: 'latching', ...any },
        action: 'bypass',
        strategy: undefined,
      },
      { on: { kind: 'program', number: 3, ...any }, action: 'preset', strategy: undefined, preset: 'slow' },
    ],
    presets: [{ name: 'slow', tuner: toSettings({ strategy: 'pull', limit: 7 }), leewayCents: undefined }],
    knobs: [
      { controller: 1, channel: 0, input: 'P', sets: 'rate', least: 50, most: 0.5 },
      { controller: 2, ...any, sets: 'recall', least: 0, most: 25 },
    ],
    lamps: [
      { ...LAMP, kind: 'note', number: 60, shows: 'strategy', is: 'pull' },
      { ...LAMP, channel: 2, virtual: true, shows: 'bypass' },
      { ...LAMP, number: 21, shows: 'drift' },
    ],
    fuse: 900,
    systemMessages: false,
    takeDirectory: 'takes',
  });
  expect(lines.slice(1)).toEqual([
    '  in      "A"; channel 1 tuned; its pitch wheel reaches 1 semitone',
    '  in      "P", a port of our own; nothing from it is tuned, all passes',
    '  in      "O"; all but channel 10 can\'t be tuned, and the others are tuned to it',
    '  in      "G"; channel 2 heard as harmony, and not sent on',
    '  in      "D"; nothing from it is tuned, all passes',
    '  in      "M"; MPE, the upper zone; all but channel 10 tuned; its pitch wheel reaches 2 semitones',
    '  in      "S"; never MPE',
    '  keys    "Low": C-1 to B3; all but channel 10 tuned; its pitch wheel reaches 2 semitones; 12',
    '          semitones down; without pedals, wheels and other controllers',
    '  keys    C4 to G9; channel 3 passed as it comes, and not heard; 1 semitone up',
    '  out     "X"; an MPE upper zone of 1 member channel, bend range 48 semitones; plays "A"',
    '  bends   wheel 100 c, tuning 50 c, drift 115 c; of 4799 c that leaves 4534 c to spare',
    '  out     "Leeway", a port of our own; plain channels 1 to 3, bend range 4 semitones; on a DIN cable',
    '  bends   wheel 200 c, slide 1200 c, tuning 50 c, drift 115 c; 400 c falls 1165 c short',
    '  out     "Leeway", a port of our own; plain channels, all but 10, bend range 12 semitones',
    '  bends   wheel 200 c, slide 1200 c, tuning 50 c, drift 115 c; 1200 c falls 365 c short',
    '  out     "Leeway", a port of our own; tuning messages (MIDI Tuning Standard), no bends',
    '  on      key B♭3 (58) on channel 16 of "P": change to the strategy pull',
    '  on      program 1: turn 12 equal on and off',
    '  on      program 2: change to the prime limit 7',
    '  on      program 3: change to the tonic F♯',
    '  on      controller 67, a latching switch: turn 12 equal on and off',
    '  on      program 4: load the preset slow',
    '  preset  slow: pulled at 3 c a second to within 2 c of home, held notes follow; limit 7; home 12',
    '          equal on C, A = 440 Hz',
    '  knob    controller 1 on channel 1 of "P": turns rate from 50 to 0.5 cents a second',
    '  knob    controller 2: turns recall from 0 to 25 cents',
    '  lamp    "L"; key C4 (60) on channel 1: 127 while strategy is pull',
    '  lamp    "L", a port of our own; controller 20 on channel 3: 127 while all is in 12 equal',
    '  lamp    "L"; controller 21 on channel 1: drift, from -50 to 50 c',
    '  waits   5 ms, so that the notes of a chord start in tune',
    '  fuse    an input that sends more than 900 messages a second is cut off',
    '  passes  no clock, transport or SysEx',
    '  takes   go to takes',
  ]);
});
