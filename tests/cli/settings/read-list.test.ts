import { expect, test } from 'vitest';
import { readValue } from '../../../src/cli/settings/read-value.js';
import { ACTION, INPUT, type Kind, LIVE, OUTLET } from '../../../src/core/settings/index.js';

function read(kind: Kind, input: unknown): unknown {
  const outcome = readValue(kind, input, 'file');
  return outcome.ok ? outcome.value : outcome.problem.code;
}

test.each<[string, Kind, unknown, unknown]>([
  ['port', INPUT.port, 'Stage Piano MIDI 1', 'Stage Piano MIDI 1'],
  ['port', INPUT.port, ' a ', ' a '],
  ['port', INPUT.port, '', 'VALUE_TEXT'],
  ['port', INPUT.port, '  ', 'VALUE_TEXT'],
  ['port', INPUT.port, 'a\nb', 'VALUE_TEXT'],
  ['port', INPUT.port, 'a'.repeat(1001), 'VALUE_TEXT'],
  ['port', INPUT.port, 3, 'VALUE_TEXT'],
  ['ports', OUTLET.from, ['A', 'B'], ['A', 'B']],
  ['ports', OUTLET.from, [], 'VALUE_LIST'],
  ['ports', OUTLET.from, 'A', 'VALUE_LIST'],
  ['ports', OUTLET.from, ['A', 'A'], 'VALUE_TWICE'],
  ['ports', OUTLET.from, ['A', 3], 'VALUE_TEXT'],
  ['switch', LIVE['pass-system'], true, true],
  ['switch', LIVE['pass-system'], false, false],
  ['switch', LIVE['pass-system'], 'true', 'VALUE_UNKNOWN'],
  ['switch', LIVE['pass-system'], 1, 'VALUE_UNKNOWN'],
  ['channel', ACTION.channel, 1, 0],
  ['channel', ACTION.channel, 16, 15],
  ['channel', ACTION.channel, 0, 'VALUE_RANGE'],
  ['channel', ACTION.channel, 17, 'VALUE_RANGE'],
  ['channel', ACTION.channel, 1.5, 'VALUE_RANGE'],
  ['channel', ACTION.channel, '1', 'VALUE_NOT_NUMBER'],
  ['program', ACTION.program, 1, 0],
  ['program', ACTION.program, 128, 127],
  ['program', ACTION.program, 0, 'VALUE_RANGE'],
  ['channels', INPUT.channels, [], []],
  ['channels', OUTLET.channels, [], 'VALUE_LIST'],
  ['channels', INPUT.channels, [16, 1], [15, 0]],
  ['channels', INPUT.channels, [1, 2, 1], 'VALUE_TWICE'],
  ['channels', INPUT.channels, [0], 'VALUE_RANGE'],
  ['key', ACTION.note, 0, 0],
  ['key', ACTION.note, 127, 127],
  ['key', ACTION.note, 128, 'VALUE_RANGE'],
  ['key', ACTION.note, 'C4', 60],
  ['key', ACTION.note, 'A0', 21],
  ['key', ACTION.note, 'C-1', 0],
  ['key', ACTION.note, 'G9', 127],
  ['key', ACTION.note, 'B♭3', 58],
  ['key', ACTION.note, 'F#2', 42],
  ['key', ACTION.note, 'G#9', 'VALUE_KEY'],
  ['key', ACTION.note, 'Cb-1', 'VALUE_KEY'],
  ['key', ACTION.note, 'C', 'VALUE_KEY'],
  ['key', ACTION.note, 'H1', 'VALUE_KEY'],
  ['key', ACTION.note, '60', 'VALUE_KEY'],
  ['key', ACTION.note, 'E4^-1', 'VALUE_KEY'],
])('the list of %s in row %# reads %j as %j', (_, kind, input, result) =>
  expect(read(kind, input)).toEqual(result),
);

test('a mistake in a list names the value and the next step', () => {
  const outcome = readValue(OUTLET.channels, [3, 3], 'file');
  expect(outcome).toEqual({
    ok: false,
    problem: { code: 'VALUE_TWICE', message: '3 is in the list twice', advice: 'Name each once.' },
  });
});
