import { describe, expect, test } from 'vitest';
import { PlainChannel } from '../../../src/core/outlet/plain-channel.js';
import { messages } from '../../support/midi-bytes.js';
import { SynthModel } from '../../support/synth-model.js';

type Message = readonly [status: number, data1: number, data2: number];

/** A channel 3 and its receiver. */
function setUp() {
  const synth = new SynthModel();
  const plain = new PlainChannel(synth, 3);
  plain.join(0);
  const say = (...messages: Message[]): void => {
    for (const message of messages) plain.pass(0, ...message);
  };
  return { synth, plain, say, sent: (run: () => void) => synth.during(run) };
}

/** What stands on a channel of a receiver, but the wheel's own range. */
function standing({ channels }: SynthModel) {
  const { controllers, program, bank, bankLsb, pressure, bend, rangeCents, fineCents, nrpns } = channels[3];
  return { controllers, program, bank, bankLsb, pressure, bend, rangeCents, fineCents, nrpns };
}

const EVERYTHING: readonly Message[] = [
  [0xb0, 0, 2],
  [0xb0, 32, 5],
  [0xc0, 19, 0],
  [0xb0, 7, 80],
  [0xb0, 64, 127],
  [0xb0, 67, 127],
  [0xd0, 33, 0],
  [0xe0, 5, 70],
  // The bend range, fine tuning, and a parameter that isn't registered.
  [0xb0, 101, 0],
  [0xb0, 100, 0],
  [0xb0, 6, 12],
  [0xb0, 100, 1],
  [0xb0, 6, 65],
  [0xb0, 38, 3],
  [0xb0, 99, 4],
  [0xb0, 98, 9],
  [0xb0, 6, 77],
];

describe('a plain channel', () => {
  test('sends each message as it came, on its own channel', () => {
    const { say, sent } = setUp();
    expect(sent(() => say(...EVERYTHING))).toEqual(
      EVERYTHING.map(([status, data1, data2]) =>
        status === 0xc0 || status === 0xd0 ? [status | 3, data1] : [status | 3, data1, data2],
      ),
    );
  });

  test('sends nothing before a note as long as nothing is in doubt', () => {
    const { plain, say, sent } = setUp();
    say(...EVERYTHING);
    expect(sent(() => plain.prepare())).toEqual([]);
  });

  test('sets everything again on another receiver, once', () => {
    const { synth, plain, say, sent } = setUp();
    say(...EVERYTHING);
    const before = standing(synth);
    synth.reset();
    plain.doubt();
    plain.prepare();
    expect(standing(synth)).toEqual(before);
    expect(sent(() => plain.prepare())).toEqual([]);
  });

  test('presses the pedals and moves the wheel again after a silence, and nothing else', () => {
    const { synth, plain, say, sent } = setUp();
    say(...EVERYTHING, [0xb0, 101, 127], [0xb0, 100, 127]);
    const before = standing(synth);
    plain.silence();
    expect(standing(synth)).toMatchObject({ bend: 8192, program: 19, pressure: 33 });
    expect(sent(() => plain.prepare())).toEqual(messages('0xb3 64 127, 0xb3 67 127, 0xe3 5 70'));
    expect(standing(synth)).toEqual(before);
  });

  test('presses no pedal again that came up in the meantime or was reset', () => {
    const { plain, say, sent } = setUp();
    say(...EVERYTHING);
    plain.silence();
    say([0xb0, 67, 0], [0xb0, 121, 0]);
    expect(sent(() => plain.prepare())).toEqual([]);
  });

  test('sends nothing again to a receiver that was reset, except for the pedals', () => {
    const { synth, plain, say, sent } = setUp();
    say(...EVERYTHING);
    synth.reset();
    plain.forget();
    expect(sent(() => plain.prepare())).toEqual(messages('0xb3 64 127, 0xb3 67 127'));
  });

  test('remembers the chosen parameter for data that comes after another receiver', () => {
    const { synth, plain, say } = setUp();
    say([0xb0, 101, 0], [0xb0, 100, 1]);
    synth.reset();
    plain.doubt();
    say([0xb0, 6, 65]);
    expect(synth.channels[3].fineCents).toBeCloseTo(100 / 64, 9);
  });

  test('passes data for no parameter, and modes, and does not remember them', () => {
    const { synth, plain, say, sent } = setUp();
    say([0xb0, 6, 1], [0xb0, 122, 0], [0xb0, 123, 0], [0xb0, 120, 0]);
    synth.reset();
    plain.doubt();
    expect(sent(() => plain.prepare())).toEqual([[0xe3, 0, 64]]);
  });

  test('holds a pedal of several parts down until the last has lifted it', () => {
    const { synth, plain, say, sent } = setUp();
    plain.join(1);
    say([0xb0, 64, 127]);
    expect(sent(() => plain.pass(1, 0xb0, 64, 0))).toEqual([[0xb3, 64, 127]]);
    plain.pass(1, 0xb0, 121, 0);
    expect(synth.channels[3].controllers[64]).toBe(127);
    expect(sent(() => say([0xb0, 64, 0]))).toEqual([[0xb3, 64, 0]]);
  });

  test('lets no part end the notes of the others', () => {
    const { plain, say, sent } = setUp();
    expect(sent(() => say([0xb0, 123, 0], [0xb0, 120, 0]))).toHaveLength(2);
    plain.join(1);
    expect(sent(() => say([0xb0, 123, 0], [0xb0, 120, 0], [0xb0, 126, 1]))).toEqual([]);
  });
});
