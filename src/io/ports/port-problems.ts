import { LeewayError } from '../leeway-error.js';
import { formatPlace } from './match-port.js';
import type { PortPlace } from './port-system.js';
import type { Direction } from './wanted-port.js';

/** The exit code of a command that needs MIDI on a computer without. */
const NO_MIDI_EXIT_CODE = 3;

/** Causes of a library that doesn't load, or a sequencer that doesn't answer. */
interface NoMidi {
  readonly code: 'MIDI_LIBRARY' | 'MIDI_NO_SEQUENCER' | 'MIDI_PERMISSION';
  readonly message: string;
  readonly advice: string;
}

/** The package with libasound.so.2, by the family of Linux. */
const LIBASOUND =
  'Install it. Debian and Ubuntu: apt install libasound2 (libasound2t64 on newer ones); Fedora: dnf install alsa-lib; Arch: pacman -S alsa-lib.';

/**
 * The error for a MIDI library that can't be loaded.
 *
 * @param cause what loading it threw
 * @example libraryError(new Error('libasound.so.2: cannot open shared object file')).code  // 'MIDI_LIBRARY'
 */
export function libraryError(cause: unknown): LeewayError {
  const reason = cause instanceof Error ? cause.message.split('\n')[0].replace(/\.$/, '') : String(cause);
  if (reason.includes('libasound')) {
    const message = "MIDI ports can't be used: the system library libasound (ALSA) is not installed.";
    return noMidi({ code: 'MIDI_LIBRARY', message, advice: LIBASOUND }, cause);
  }
  const isAbsent = cause instanceof Error && 'code' in cause && /MODULE_NOT_FOUND/.test(String(cause.code));
  return noMidi(
    {
      code: 'MIDI_LIBRARY',
      message: isAbsent
        ? "MIDI ports can't be used: the package @julusian/midi is not installed."
        : `MIDI ports can't be used: the MIDI library doesn't load (${reason}).`,
      advice:
        "Run npm ci in Leeway's folder; on a rare system the library is built there, which takes Python and a C++ compiler.",
    },
    cause,
  );
}

/** There is no sequencer. */
export function noSequencerError(platform: NodeJS.Platform, cause?: unknown): LeewayError {
  const linux = {
    message: "MIDI ports can't be used: this system runs no ALSA sequencer.",
    advice:
      "Load it: sudo modprobe snd-seq (to keep it, put the line snd-seq into /etc/modules-load.d/midi.conf). Containers and most rented servers don't have it at all.",
  };
  const other = {
    message: "MIDI ports can't be used: the MIDI service of this computer doesn't answer.",
    advice: 'Close other music programs, or restart the computer, and try again.',
  };
  return noMidi({ code: 'MIDI_NO_SEQUENCER', ...(platform === 'linux' ? linux : other) }, cause);
}

/** The sequencer is there, but not for this user. */
export function permissionError(cause?: unknown): LeewayError {
  return noMidi(
    {
      code: 'MIDI_PERMISSION',
      message: "MIDI ports can't be used: this user may not use /dev/snd/seq.",
      advice: 'Join the group audio: sudo usermod -aG audio "$USER", then log out and in again.',
    },
    cause,
  );
}

function noMidi(problem: NoMidi, cause: unknown): LeewayError {
  return new LeewayError(problem, { cause, exitCode: NO_MIDI_EXIT_CODE });
}

/** No such place now. @example missingError('input', { name: 'Keys', occurrence: 1 }).code  // 'PORT_MISSING' */
export function missingError(direction: Direction, place: PortPlace): LeewayError {
  return new LeewayError({
    code: 'PORT_MISSING',
    message: `There is no MIDI ${direction} "${formatPlace(place)}".`,
    advice: 'leeway ports lists what is there.',
  });
}

/** There, but it can't be opened. */
export function busyError(direction: Direction, place: PortPlace, cause?: unknown): LeewayError {
  return new LeewayError(
    {
      code: 'PORT_BUSY',
      message: `The MIDI ${direction} "${formatPlace(place)}" can't be opened.`,
      advice: 'Most often another program holds it: close that one, or release the port in its settings.',
    },
    { cause },
  );
}

/** No ports can be made here, or not this one. @param name of the wanted port, if any */
export function noVirtualPortsError(platform: NodeJS.Platform, name?: string, cause?: unknown): LeewayError {
  const what = name === undefined ? 'MIDI ports of our own' : `A MIDI port "${name}" of our own`;
  return new LeewayError(
    {
      code: 'NO_VIRTUAL_PORTS',
      message: `${what} can't be made on this system.`,
      advice:
        platform === 'win32'
          ? 'Windows has none: install a driver for loop-back MIDI ports, and name its ports instead.'
          : 'Name a port that is there instead; leeway ports lists them.',
    },
    { cause },
  );
}

/** Bytes that are no whole message, or too long. @param fault what is wrong with them, as the end of a sentence */
export function messageError(fault: string): LeewayError {
  return new LeewayError({
    code: 'PORT_MESSAGE',
    message: `A message was not sent: ${fault}.`,
    advice: 'The rest goes on. If it came from a device, look for a bad cable or a cut SysEx dump.',
  });
}

/** The system refused a message. */
export function sendError(name: string, cause: unknown): LeewayError {
  return new LeewayError(
    {
      code: 'PORT_SEND',
      message: `The MIDI output "${name}" refused a message.`,
      advice: 'Unplug the device and plug it in again; leeway ports shows whether it is there.',
    },
    { cause },
  );
}

/** A link or a system was used after it was closed. */
export function closedError(name: string): LeewayError {
  return new LeewayError({
    code: 'PORT_CLOSED',
    message: `${name} is closed.`,
    advice: 'Open it again first.',
  });
}

/** A feedback loop. */
export function cycleError(direction: Direction, name: string): LeewayError {
  const other = direction === 'output' ? 'input' : 'output';
  return new LeewayError({
    code: 'PORT_CYCLE',
    message: `The MIDI ${direction} "${name}" leads back to an ${other} that is open here.`,
    advice: 'Every note would go round for ever: name another port for one of the two.',
  });
}

/** One port under two names. */
export function twiceError(direction: Direction, name: string, otherName: string): LeewayError {
  return new LeewayError({
    code: 'PORT_TWICE',
    message: `The MIDI ${direction} "${name}" is the same as "${otherName}".`,
    advice: 'Every note would be played twice: leave one of the two out.',
  });
}

/** Opening a port failed in an unforeseen way. */
export function strangeError(direction: Direction, name: string, cause: unknown): LeewayError {
  const reason = cause instanceof Error ? cause.message : String(cause);
  return new LeewayError(
    {
      code: 'PORT_FAILED',
      message: `The MIDI ${direction} "${name}" failed: ${reason.replace(/\.$/, '')}.`,
      advice: 'It will be tried again. If that does not help, unplug the device and plug it in again.',
    },
    { cause },
  );
}
