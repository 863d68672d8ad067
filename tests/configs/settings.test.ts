import { readdirSync, readFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { describe, expect, test } from 'vitest';
import { toHeadroom } from '../../src/app/live/headroom.js';
import type { LiveSettings } from '../../src/app/live/live-settings.js';
import { toLiveRemarks } from '../../src/cli/format/live-remarks.js';
import { gatherLiveSettings } from '../../src/cli/settings/index.js';
import { readPlace, writePlace } from '../support/document.js';
import { runCli } from '../support/run-cli.js';

const CONFIGS = fileURLToPath(new URL('../../configs/', import.meta.url));
const README = new URL('../../src/app/live/README.md', import.meta.url);
const NAMES = readdirSync(CONFIGS)
  .filter((name) => name.endsWith('.toml'))
  .sort();

async function load(name: string): Promise<LiveSettings> {
  const gathered = await gatherLiveSettings(CONFIGS + name, {});
  if (!gathered.ok) throw gathered.mistakes[0];
  return gathered.settings;
}

/** Each rule as `controller 67 on 16 of Pedals: home-next`, as far as it says so; channels counted from 1. */
function toRules({ actions }: LiveSettings): string[] {
  return actions.map(({ on: { kind, number, channel, input }, action, strategy }) => {
    const where = channel === undefined ? '' : ` on ${channel + 1}`;
    const whose = input === undefined ? '' : ` of ${input}`;
    return `${kind} ${number}${where}${whose}: ${action}${strategy === undefined ? '' : ` ${strategy}`}`;
  });
}

test('the README of live playing lists the headroom of the three settings files, and all of them fit', async () => {
  const lines = [
    '| settings | outlet | range | wheel | tuning | drift | to spare |',
    '|---|---|--:|--:|--:|--:|--:|',
  ];
  for (const name of NAMES) {
    const settings = await load(name);
    for (const outlet of settings.outlets) {
      const headroom = toHeadroom(settings, outlet)!;
      const { rangeCents, wheelCents, tuningCents, driftCents, spareCents } = headroom;
      expect(spareCents).toBeGreaterThan(0);
      const figures = [rangeCents, wheelCents, tuningCents, driftCents, Math.floor(spareCents)].map(
        Math.round,
      );
      lines.push(`| ${name.replace('.toml', '')} | ${outlet.port} | ${figures.join(' | ')} |`);
    }
  }
  // `LEEWAY_WRITE_README=1 npm test -- configs` writes it anew.
  if (process.env.LEEWAY_WRITE_README !== undefined) writePlace(README, 'headroom', lines.join('\n'));
  expect(readPlace(README, 'headroom')).toBe(lines.join('\n'));
});

test('there are three settings files', () =>
  expect(NAMES).toEqual(['lecture.toml', 'stage.toml', 'studio.toml']));

describe.each(NAMES)('the settings file %s', (name) => {
  test('has no mistake and no remark', async () => {
    expect(await runCli(['check', CONFIGS + name])).toMatchObject({ code: 0, err: '' });
    expect(toLiveRemarks(await load(name))).toEqual([]);
  });

  test('has a comment above every table and every action', () => {
    const text = readFileSync(CONFIGS + name, 'utf8');
    const blocks = text.split(/\n\n+/).filter((block) => /^\[/m.test(block));
    expect(blocks.filter((block) => !block.includes('# '))).toEqual([]);
  });

  test('has no line wider than a page', () => {
    const lines = readFileSync(CONFIGS + name, 'utf8').split('\n');
    expect(lines.filter((line) => line.length > 115 || /\s$/.test(line))).toEqual([]);
  });
});

test('the stage settings have one keyboard, a pedal board, an MPE synth, and are anchored', async () => {
  const settings = await load('stage.toml');
  expect(settings).toMatchObject({
    tuner: { strategy: 'anchored', leewayCents: 8, held: 'follow', limit: 5, referenceCents: 0 },
    inputs: [
      { port: 'Stage Piano', virtual: false, channels: [0, 1], bendRange: 2 },
      { port: 'Pedals', virtual: false, channels: [] },
    ],
    outlets: [{ port: 'Synth', virtual: false, kind: 'mpe', members: 15, wire: 'fast' }],
    systemMessages: true,
    takeDirectory: undefined,
  });
  expect(toRules(settings)).toEqual([
    'controller 67 of Pedals: home-next',
    'controller 80 of Pedals: hold-drift',
    'controller 81 of Pedals: bypass',
    'controller 82 of Pedals: cue',
    'note 21 of Stage Piano: panic',
  ]);
});

test('the stage settings have an expression pedal for the leeway, and lights for what the feet have turned on', async () => {
  const { knobs, lamps } = await load('stage.toml');
  expect(knobs).toMatchObject([{ controller: 11, input: 'Pedals', sets: 'leeway', least: 0, most: 25 }]);
  expect(lamps.map(({ port, kind, number, shows }) => [port, kind, number, shows])).toEqual([
    ['Pedals', 'controller', 80, 'hold-drift'],
    ['Pedals', 'controller', 81, 'bypass'],
  ]);
});

test('the studio settings have two inputs, two outlets, pull, and takes', async () => {
  const settings = await load('studio.toml');
  expect(settings).toMatchObject({
    tuner: { strategy: 'pull', rateCentsPerSecond: 3, leewayCents: 2, limit: 7, home: { kind: 'meantone' } },
    inputs: [
      { port: 'Keyboard', virtual: false, bendRange: 12 },
      { port: 'Leeway tracks', virtual: true },
    ],
    outlets: [
      {
        port: 'Sampler',
        virtual: false,
        kind: 'multichannel',
        bendRange: 14,
        channels: [0, 1, 2, 3, 4, 5, 6, 7, 8, 10, 11, 12, 13, 14, 15],
        wire: 'din',
        releaseHoldMs: 1000,
        from: ['Keyboard'],
      },
      {
        port: 'Leeway MPE',
        virtual: true,
        kind: 'mpe',
        zone: 'lower',
        members: 15,
        bendRange: 48,
        from: ['Leeway tracks'],
      },
    ],
    fuse: 8000,
    takeDirectory: 'takes',
  });
  expect(settings.tuner.home.tonic.keyClass).toBe(2);
  expect(toRules(settings)).toEqual([
    'program 0 on 16: strategy free',
    'program 1 on 16: strategy pull',
    'program 2 on 16: strategy anchored',
  ]);
});

test('the lecture settings have no devices, are free, and have keys for actions', async () => {
  const settings = await load('lecture.toml');
  expect(settings).toMatchObject({
    tuner: { strategy: 'free', leewayCents: Infinity, held: 'stay', limit: 5, home: { kind: 'just' } },
    inputs: [{ port: 'Leeway', virtual: true }],
    outlets: [{ port: 'Leeway', virtual: true, kind: 'mpe' }],
    takeDirectory: 'lecture-takes',
  });
  expect(toRules(settings)).toEqual([
    'note 24: next-strategy',
    'note 26: home-now',
    'note 28: tonic-from-bass',
    'note 29: limit-down',
    'note 31: limit-up',
    'note 33: bypass',
  ]);
});
