/** The types of the library alone, so that nothing is loaded. */
export type MidiLibrary = Pick<typeof import('@julusian/midi'), 'Input' | 'Output'>;
