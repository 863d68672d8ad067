import { writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { expect, test } from 'vitest';
import { runCli } from '../support/run-cli.js';
import { useTemporaryFolder } from '../support/temporary-folder.js';

const folder = useTemporaryFolder();

function write(text: string): string {
  const path = join(folder(), 's.toml');
  writeFileSync(path, text);
  return path;
}

test('check sums up a file without mistakes in a few lines', async () => {
  const path = write('[tuning]\nlimit = 7\n[[action]]\ncontroller = 67\ndo = "home-next"\n');
  const { code, out, err } = await runCli(['check', path]);
  expect([code, err]).toEqual([0, '']);
  expect(out.replace(path, 's.toml').split('\n')).toEqual([
    's.toml is in order.',
    '  tuned   anchored within 8 c of home, held notes follow; limit 7; home 12 equal on C, A = 440 Hz',
    '  in      "Leeway", a port of our own; all but channel 10 tuned; its pitch wheel reaches 2 semitones',
    '  out     "Leeway", a port of our own; an MPE lower zone of 15 member channels, bend range 48',
    '          semitones',
    '  bends   wheel 200 c, tuning 50 c, drift 8 c; of 4799 c that leaves 4541 c to spare',
    '  on      controller 67: go home at the next strike',
    '  fuse    an input that sends more than 8000 messages a second is cut off',
    '  passes  clock, transport and SysEx',
    '',
  ]);
});

test('check says what becomes of the tracks of a file', async () => {
  const path = write('[[track]]\nname = "Organ"\nrole = "guide"\n[[track]]\nrole = "untuned"\n');
  const { code, out, err } = await runCli(['check', path]);
  expect([code, err]).toEqual([0, '']);
  expect(out).toContain(
    '  tracks  "Organ": guide, heard as harmony, and not sent on\n' +
      '  tracks  every other track: untuned, passes unchanged, and is not heard\n',
  );
  const json = JSON.parse((await runCli(['check', path, '--json'])).out);
  expect(json.tracks).toMatchObject([
    { name: 'Organ', role: 'guide' },
    { name: null, role: 'untuned' },
  ]);
});

test('check writes every mistake with its place on standard error, and nothing else', async () => {
  const path = write('[tuning]\nlimit = 4\n[[input]]\nprt = "A"\n');
  const { code, out, err } = await runCli(['check', path]);
  expect([code, out]).toEqual([2, '']);
  expect(err.split('\n')).toEqual([
    expect.stringMatching(/^leeway: .*s\.toml:2:9: limit: .* \[VALUE_UNKNOWN\]$/),
    expect.stringMatching(/^leeway: .*s\.toml:4:1: .*Did you mean port\? \[SETTINGS_KEY\]$/),
    '',
  ]);
});

test('check notes settings without effect, in the words of the file', async () => {
  const path = write('[tuning]\nstrategy = "free"\nleeway = 3\n');
  const { code, err } = await runCli(['check', path]);
  expect(code).toBe(0);
  expect(err).toBe(
    'leeway: note: leeway has no effect with strategy = "free", which never brings the pitch back.\n',
  );
});

test('check does not note a setting of another strategy where the strategy can change', async () => {
  const path = write('[tuning]\nstrategy = "free"\nleeway = 3\n[[action]]\nnote = 1\ndo = "next-strategy"\n');
  expect(await runCli(['check', path])).toMatchObject({ code: 0, err: '' });
});

test('check --json gives the mistakes', async () => {
  const path = write('[live]\nfuse = 1\n');
  const { code, out, err } = await runCli(['check', path, '--json']);
  expect([code, err]).toEqual([2, '']);
  expect(JSON.parse(out)).toMatchObject({
    kind: 'leeway settings check',
    version: 1,
    path,
    ok: false,
    mistakes: [{ line: 2, column: 8, code: 'VALUE_RANGE' }],
  });
});

test('check --json gives the settings and the remarks', async () => {
  const path = write('[tuning]\nrate = 4\n[live]\ntake = "t"\n');
  const { code, out, err } = await runCli(['check', path, '--json']);
  expect([code, err]).toEqual([0, '']);
  expect(JSON.parse(out)).toMatchObject({
    ok: true,
    settings: { tuning: { strategy: 'anchored' }, take: 't', inputs: [{ port: 'Leeway' }] },
    remarks: [expect.stringMatching(/^rate has no effect/)],
  });
});

test('check notes a wheel that does not fit the bend range, with what to set, and --json has the figures', async () => {
  const path = write('[[input]]\nbend-range = 12\n[[outlet]]\nkind = "multichannel"\nbend-range = 2\n');
  const { code, out, err } = await runCli(['check', path]);
  expect(code).toBe(0);
  expect(out).toContain('  bends   wheel 1200 c, tuning 50 c, drift 8 c; 200 c falls 1058 c short\n');
  expect(err).toMatch(
    /^leeway: note: the bend range of "Leeway", .* Set bend-range = 13 for the outlet, .*\.\n$/,
  );
  const json = JSON.parse((await runCli(['check', path, '--json'])).out);
  expect(json.headroom).toMatchObject([
    { fits: false, wheelCents: 1199.85, spareCents: -1057.88, wantedRange: 13 },
  ]);
});

test('check refuses a file that is missing or is not TOML', async () => {
  const none = await runCli(['check', join(folder(), 'none.toml')]);
  expect([none.code, none.out]).toEqual([2, '']);
  expect(none.err).toContain('[FILE_MISSING]');
  const bad = await runCli(['check', write('limit == 5\n'), '--json']);
  expect(bad.code).toBe(2);
  expect(JSON.parse(bad.out).mistakes).toMatchObject([{ line: 1, column: 8, code: 'SETTINGS_TOML' }]);
});
