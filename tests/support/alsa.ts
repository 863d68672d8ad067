import { execFileSync } from 'node:child_process';
import { closeSync, openSync, readFileSync } from 'node:fs';

/** Why the tests with a real sequencer can't run here; undefined if they can. */
export const NO_SEQUENCER: string | undefined = explain();

function explain(): string | undefined {
  if (process.platform !== 'linux') return `ALSA is Linux's, and this is ${process.platform}`;
  try {
    closeSync(openSync('/dev/snd/seq', 'r+'));
    return undefined;
  } catch (error) {
    return `the ALSA sequencer can't be used (${error instanceof Error ? error.message : error})`;
  }
}

/** Whether programs are installed, such as `aseqdump`. */
export function hasPrograms(...programs: string[]): boolean {
  try {
    for (const program of programs) execFileSync('sh', ['-c', `command -v ${program}`], { stdio: 'pipe' });
    return true;
  } catch {
    return false;
  }
}

/**
 * The `client:port` of a port by its own name, as ALSA's programs take it.
 * @example addressOf('Midi Through Port-0')  // '14:0'
 */
export function addressOf(portName: string): string {
  let client = '';
  for (const line of readFileSync('/proc/asound/seq/clients', 'utf8').split('\n')) {
    client = /^Client +(\d+)/.exec(line)?.[1] ?? client;
    const [, port, name] = /^ +Port +(\d+) : "(.*)"/.exec(line) ?? [];
    if (name === portName) return `${client}:${port}`;
  }
  throw new Error(`ALSA has no port "${portName}".`);
}
