import { readFileSync } from 'node:fs';
import { expect, test } from 'vitest';
import { EXIT } from '../../src/cli/exit-codes.js';

const UNIT = readFileSync(new URL('../../configs/leeway.service', import.meta.url), 'utf8');

/** The settings of the unit, in the order they stand: `Service.Type`, `notify`. */
function readUnit(): ReadonlyMap<string, string> {
  const settings = new Map<string, string>();
  let section = '';
  for (const line of UNIT.split('\n')) {
    const [, name, key, value] = /^\[(\w+)\]$|^(\w+)=(.*)$/.exec(line) ?? [];
    if (name !== undefined) section = name;
    else if (key !== undefined) settings.set(`${section}.${key}`, value);
    else expect(line).toMatch(/^(#.*)?$/);
  }
  return settings;
}

test('the service waits for readiness, starts again after a fault, and takes no privileges', () => {
  const unit = readUnit();
  expect(unit.get('Service.Type')).toBe('notify');
  expect(unit.get('Service.NotifyAccess')).toBe('all');
  expect(unit.get('Service.Restart')).toBe('on-failure');
  expect(unit.get('Service.NoNewPrivileges')).toBe('yes');
  expect([...unit.keys()].filter((key) => /User|Group|Capabilit/.test(key))).toEqual([]);
  // a unit of the user's own manager
  expect(unit.get('Install.WantedBy')).toBe('default.target');
});

test('the service runs a command that exists, and reloads by SIGHUP', () => {
  const unit = readUnit();
  expect(unit.get('Service.ExecStart')).toBe('leeway live %E/leeway/settings.toml');
  expect(unit.get('Service.ExecReload')).toBe('kill -HUP $MAINPID');
  expect(unit.get('Service.KillSignal')).toBe('SIGTERM');
});

test('the service asks for real time without a privilege', () => {
  // No more than README gives to a group, and as much as the music takes (io/clock/go-first).
  expect(readUnit().get('Service.LimitRTPRIO')).toBe('20');
  expect([...readUnit().keys()].filter((key) => /CPUScheduling|RestrictRealtime/.test(key))).toEqual([]);
});

test('the service starts again after an internal error, and not after a mistake that people must mend', () => {
  const kept = readUnit().get('Service.RestartPreventExitStatus')?.split(' ').map(Number);
  expect(kept).toEqual([EXIT.mistake, EXIT.noMidi]);
  expect(kept).not.toContain(EXIT.bug);
});
