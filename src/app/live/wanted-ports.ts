import type { WantedPort } from '../../io/ports/index.js';
import type { LiveSettings } from './live-settings.js';

/** The ports a session wants, in the order of its settings. */
export interface WantedPorts {
  readonly inputs: readonly WantedPort[];
  readonly outlets: readonly WantedPort[];
  readonly all: readonly WantedPort[];
}

/**
 * The ports the settings want. A port that was wanted before is the same object again, so that it can stay open.
 * @param before the ports wanted so far
 */
export function toWantedPorts(settings: LiveSettings, before?: WantedPorts): WantedPorts {
  const toPort = (direction: WantedPort['direction'], name: string, own: boolean): WantedPort =>
    before?.all.find((one) => one.direction === direction && one.name === name && one.own === own) ?? {
      direction,
      name,
      own,
    };
  const inputs = settings.inputs.map(({ port, virtual }) => toPort('input', port, virtual));
  const outlets = settings.outlets.map(({ port, virtual }) => toPort('output', port, virtual));
  return { inputs, outlets, all: [...inputs, ...outlets] };
}
