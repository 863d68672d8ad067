/** The names of the libraries, ours first. */
export const LIBRARIES = ['ours', 'midi-file', 'midifile', 'jzz-midi-smf', 'spessasynth_core'] as const;
export type Library = (typeof LIBRARIES)[number];

/** What a library had to do, and how long it took. */
export interface CodecRun {
  readonly readSeconds: number;
  readonly writeSeconds: number;
  readonly noteOns: number;
  readonly sum: number;
  readonly bytes: number;
}
