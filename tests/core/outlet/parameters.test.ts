import { describe, expect, test } from 'vitest';
import { NON_REGISTERED } from '../../../src/core/midi/index.js';
import { selectParameter, sendBendRange, sendZone } from '../../../src/core/outlet/parameters.js';
import { messages } from '../../support/midi-bytes.js';
import { SynthModel } from '../../support/synth-model.js';

describe('parameter messages', () => {
  test('select a registered and an unregistered parameter by their controllers, MSB first', () => {
    const synth = new SynthModel();
    selectParameter(synth, 3, 0x0085);
    selectParameter(synth, 3, NON_REGISTERED | 0x0085);
    expect(synth.log).toEqual(messages('0xb3 101 1, 0xb3 100 5, 0xb3 99 1, 0xb3 98 5'));
  });

  test('leave data entry without effect at their end', () => {
    const synth = new SynthModel();
    sendBendRange(synth, 4, 12);
    expect(synth.channels[4].rangeCents).toBe(1200);
    synth.channel(0xb4, 6, 3);
    expect(synth.channels[4].rangeCents).toBe(1200);
  });

  test('make a zone whose members bend by 48 semitones, and close it', () => {
    const synth = new SynthModel();
    sendZone(synth, 15, 3);
    expect(synth.channels.map((c) => c.rangeCents)).toEqual([...Array(12).fill(200), 4800, 4800, 4800, 200]);
    synth.channel(0xbf, 6, 9);
    expect(synth.channels[11].rangeCents).toBe(200);
  });
});
