import { describe, expect, test } from 'vitest';
import {
  readChannel,
  readChannels,
  readKey,
  readPort,
  readPorts,
  readProgram,
  readSwitch,
} from '../../src/cli/read-port-values.js';
import type { Reader } from '../../src/cli/read-values.js';

function read(reader: Reader<unknown>, input: unknown): unknown {
  const outcome = reader(input);
  return outcome.ok ? outcome.value : outcome.problem.code;
}

test.each<[string, Reader<unknown>, unknown, unknown]>([
  ['port', readPort, 'Stage Piano MIDI 1', 'Stage Piano MIDI 1'],
  ['port', readPort, ' a ', ' a '],
  ['port', readPort, '', 'VALUE_TEXT'],
  ['port', readPort, '  ', 'VALUE_TEXT'],
  ['port', readPort, 'a\nb', 'VALUE_TEXT'],
  ['port', readPort, 'a'.repeat(1001), 'VALUE_TEXT'],
  ['port', readPort, 3, 'VALUE_TEXT'],
  ['ports', readPorts, ['A', 'B'], ['A', 'B']],
  ['ports', readPorts, [], 'VALUE_LIST'],
  ['ports', readPorts, 'A', 'VALUE_LIST'],
  ['ports', readPorts, ['A', 'A'], 'VALUE_TWICE'],
  ['ports', readPorts, ['A', 3], 'VALUE_TEXT'],
  ['switch', readSwitch, true, true],
  ['switch', readSwitch, false, false],
  ['switch', readSwitch, 'true', 'VALUE_UNKNOWN'],
  ['switch', readSwitch, 1, 'VALUE_UNKNOWN'],
  ['channel', readChannel, 1, 0],
  ['channel', readChannel, 16, 15],
  ['channel', readChannel, 0, 'VALUE_RANGE'],
  ['channel', readChannel, 17, 'VALUE_RANGE'],
  ['channel', readChannel, 1.5, 'VALUE_RANGE'],
  ['channel', readChannel, '1', 'VALUE_NOT_NUMBER'],
  ['program', readProgram, 1, 0],
  ['program', readProgram, 128, 127],
  ['program', readProgram, 0, 'VALUE_RANGE'],
  ['channels', readChannels(true), [], []],
  ['channels', readChannels(false), [], 'VALUE_LIST'],
  ['channels', readChannels(true), [16, 1], [15, 0]],
  ['channels', readChannels(true), [1, 2, 1], 'VALUE_TWICE'],
  ['channels', readChannels(true), [0], 'VALUE_RANGE'],
  ['key', readKey, 0, 0],
  ['key', readKey, 127, 127],
  ['key', readKey, 128, 'VALUE_RANGE'],
  ['key', readKey, 'C4', 60],
  ['key', readKey, 'A0', 21],
  ['key', readKey, 'C-1', 0],
  ['key', readKey, 'G9', 127],
  ['key', readKey, 'B♭3', 58],
  ['key', readKey, 'F#2', 42],
  ['key', readKey, 'G#9', 'VALUE_KEY'],
  ['key', readKey, 'Cb-1', 'VALUE_KEY'],
  ['key', readKey, 'C', 'VALUE_KEY'],
  ['key', readKey, 'H1', 'VALUE_KEY'],
  ['key', readKey, '60', 'VALUE_KEY'],
  ['key', readKey, 'E4^-1', 'VALUE_KEY'],
])('%s %#: %j gives %j', (_, reader, input, result) => {
  expect(read(reader, input)).toEqual(result);
});

describe('what is said', () => {
  test('names the value and the next step', () => {
    const outcome = readChannels(false)([3, 3]);
    expect(outcome).toEqual({
      ok: false,
      problem: { code: 'VALUE_TWICE', message: '3 stands in the list twice', advice: 'Name each once.' },
    });
  });
});
