import { readFileSync } from 'node:fs';

/** ALSA's list of connections. */
const CLIENTS = '/proc/asound/seq/clients';

/** The present connections of ALSA's sequencer; undefined where they can't be read, as on other systems. */
export function readConnections(): ReadonlySet<string> | undefined {
  try {
    return parseConnections(readFileSync(CLIENTS, 'utf8'));
  } catch {
    return undefined;
  }
}

/**
 * Connections as `24:0>129:0`, from the text of /proc/asound/seq/clients. A replugged device may have its old number
 * again, but its connections are gone. Only here is that visible.
 */
export function parseConnections(text: string): ReadonlySet<string> {
  const connections = new Set<string>();
  let client = '';
  let port = '';
  for (const line of text.split('\n')) {
    client = /^Client +(\d+) :/.exec(line)?.[1] ?? client;
    port = /^ +Port +(\d+) :/.exec(line)?.[1] ?? port;
    const targets = /^ +Connecting To: (.*)$/.exec(line)?.[1];
    for (const [target] of targets?.matchAll(/\d+:\d+/g) ?? [])
      connections.add(`${client}:${port}>${target}`);
  }
  return connections;
}
