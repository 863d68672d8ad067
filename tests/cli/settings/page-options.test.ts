import { Command } from 'commander';
import { describe, expect, test } from 'vitest';
import { addPageOptions } from '../../../src/cli/settings/add-options.js';
import { readPageOptions } from '../../../src/cli/settings/page-options.js';
import type { LeewayError } from '../../../src/io/leeway-error.js';

const read = (options: Record<string, unknown>) => {
  const mistakes: LeewayError[] = [];
  return { choice: readPageOptions(options, mistakes), codes: mistakes.map(({ code }) => code) };
};

describe('where the page is served', () => {
  test.each([
    ['nowhere, unless it is asked for', {}, undefined],
    [
      'to this computer alone',
      { page: true },
      { address: '127.0.0.1', port: undefined, story: undefined, hasNewToken: false },
    ],
    [
      'to a room',
      { listen: '0.0.0.0' },
      { address: '0.0.0.0', port: undefined, story: undefined, hasNewToken: false },
    ],
    [
      'at a port',
      { port: '8200' },
      { address: '127.0.0.1', port: 8200, story: undefined, hasNewToken: false },
    ],
    [
      'with a story',
      { story: 's.toml' },
      { address: '127.0.0.1', port: undefined, story: 's.toml', hasNewToken: false },
    ],
    [
      'both',
      { page: true, listen: '192.168.1.5', port: '1' },
      { address: '192.168.1.5', port: 1, story: undefined, hasNewToken: false },
    ],
    [
      'at the last port there is',
      { port: '65535' },
      { address: '127.0.0.1', port: 65_535, story: undefined, hasNewToken: false },
    ],
  ])('the page is served %s', (_, options, choice) => expect(read(options)).toEqual({ choice, codes: [] }));

  test('the page is served where it is published to a relay', () => {
    const relay = 'http://a:b@hall.local:8080';
    const choice = { address: '127.0.0.1', port: undefined, story: undefined, relay, hasNewToken: false };
    expect(read({ relay })).toEqual({ choice, codes: [] });
  });

  test.each([
    ['0', 'VALUE_RANGE'],
    ['65536', 'VALUE_RANGE'],
    ['http', 'VALUE_NOT_NUMBER'],
    ['-1', 'VALUE_NOT_NUMBER'],
    ['80.5', 'VALUE_NOT_NUMBER'],
    ['', 'VALUE_NOT_NUMBER'],
    ['1234567', 'VALUE_NOT_NUMBER'],
  ])('the page option --port refuses "%s"', (port, code) => expect(read({ port }).codes).toEqual([code]));

  test('the page option --host refuses an empty address', () => {
    expect(read({ listen: ' ' }).codes).toEqual(['VALUE_TEXT']);
  });

  test('a command that always has a page needs no --page', () => {
    const flagsOf = (isAlways: boolean) =>
      addPageOptions(new Command('show'), isAlways).options.map(({ long }) => long);
    expect(flagsOf(false)).toEqual(['--page', '--listen', '--story', '--new-token', '--port', '--relay']);
    expect(flagsOf(true)).toEqual(['--listen', '--story', '--new-token', '--port', '--relay']);
  });
});
