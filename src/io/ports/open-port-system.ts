import { closeSync, openSync } from 'node:fs';
import process from 'node:process';
import { LeewayError } from '../leeway-error.js';
import { LibraryPortSystem } from './library-port-system.js';
import type { MidiLibrary } from './midi-library.js';
import { libraryError, noSequencerError, noVirtualPortsError, permissionError } from './port-problems.js';
import type { PortSystem } from './port-system.js';

/** The environment of opening. Tests pass their own. */
export interface PortEnvironment {
  readonly platform: NodeJS.Platform;
  load(): Promise<MidiLibrary>;
  /** Opens the sequencer and closes it again; throws an error of the system, with its `code`, if it can't. */
  probe(): void;
}

const DEFAULT: PortEnvironment = {
  platform: process.platform,
  load: () => import('@julusian/midi'),
  probe: () => closeSync(openSync('/dev/snd/seq', 'r+')),
};

/**
 * Opens the MIDI ports of this computer. The native library is loaded only here, so that everything without ports works
 * without it.
 *
 * Rejects with a LeewayError whose exit code is 3 and whose advice says how to get what is missing: MIDI_LIBRARY,
 * MIDI_NO_SEQUENCER, MIDI_PERMISSION.
 */
export async function openPortSystem(environment: PortEnvironment = DEFAULT): Promise<PortSystem> {
  const { platform } = environment;
  let library: MidiLibrary;
  try {
    library = await environment.load();
  } catch (error) {
    throw libraryError(error);
  }
  // Without a sequencer the library prints to standard error itself, and throws without a reason: check first.
  if (platform === 'linux') {
    try {
      environment.probe();
    } catch (error) {
      const code = error instanceof Error && 'code' in error ? String(error.code) : '';
      throw code === 'EACCES' || code === 'EPERM'
        ? permissionError(error)
        : noSequencerError(platform, error);
    }
  }
  try {
    return new LibraryPortSystem(library, platform);
  } catch (error) {
    throw noSequencerError(platform, error);
  }
}

/** Whether MIDI works on this computer. */
export interface Diagnosis {
  /** Open, for the caller to close; undefined where MIDI can't be used. */
  readonly system: PortSystem | undefined;
  /** What is missing, each with how to get it. */
  readonly missing: readonly LeewayError[];
}

/**
 * Opens the ports and reports what is missing and how to get it. Rejects only for a fault of this program.
 *
 * @param open the environment
 * @example (await diagnose()).missing;  // MIDI_NO_SEQUENCER, in a container
 */
export async function diagnose(
  open: () => Promise<PortSystem> = openPortSystem,
  platform: NodeJS.Platform = process.platform,
): Promise<Diagnosis> {
  let system: PortSystem;
  try {
    system = await open();
  } catch (error) {
    if (error instanceof LeewayError) return { system: undefined, missing: [error] };
    throw error;
  }
  return { system, missing: system.virtualPorts ? [] : [noVirtualPortsError(platform)] };
}
