/** What a command's exit code says. */
export const EXIT = {
  done: 0,
  /** Some of several inputs failed; the rest are done. */
  someFailed: 1,
  /** A mistake in the command line or the settings, or the only input was bad: nothing was written. */
  mistake: 2,
  /** MIDI can't be used on this computer at present. */
  noMidi: 3,
  bug: 70,
  /** Stopped by Ctrl+C or a signal before it was done; unfinished files were not written. */
  stopped: 130,
} as const;

/** One of the exit codes. */
export type ExitCode = (typeof EXIT)[keyof typeof EXIT];
