import process from 'node:process';
import { missingError, noVirtualPortsError } from './port-problems.js';
import type { PortSystem } from './port-system.js';

/** The ports of a computer without MIDI: none, and none can be made. */
export const NO_PORTS: PortSystem = Object.freeze({
  virtualPorts: false,
  list: () => ({ inputs: [], outputs: [] }),
  openInput: (place) => {
    throw missingError('input', place);
  },
  openOutput: (place) => {
    throw missingError('output', place);
  },
  createInput: (name) => {
    throw noVirtualPortsError(process.platform, name);
  },
  createOutput: (name) => {
    throw noVirtualPortsError(process.platform, name);
  },
  close: () => {},
} satisfies PortSystem);
