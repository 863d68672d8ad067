import process from 'node:process';
import { run } from '../../src/cli/index.js';
import { onSignal } from '../../src/cli/signals.js';
import { FakeMachine } from './fake-ports.js';
import { createWorld } from './run-cli.js';

/**
 * Run as a program of its own, to be killed: `leeway live` on ports that are made up, recording into the folder given,
 * while somebody plays; a signal stops it as it stops
 * the command. It says each key it strikes or lifts, and when, in milliseconds of the time of day.
 */
const machine = new FakeMachine();
const keys = machine.plugKeys('Keys');
machine.plugSynth('Synth');
const [directory] = process.argv.slice(2);
void run(['live', '--in', 'Keys', '--out', 'Synth', '--take', directory], {
  ...createWorld(),
  openPorts: () => Promise.resolve(machine.openPorts()),
  on: onSignal,
}).then((code) => process.exit(code));

let played = 0;
setInterval(() => {
  if (keys.listeners === 0) return;
  const key = 48 + (Math.floor(played / 2) % 24);
  const status = played++ % 2 === 0 ? 0x90 : 0x80;
  keys.feed(status, key, 80);
  process.stdout.write(`${Date.now()} ${status} ${key}\n`);
}, 5);
