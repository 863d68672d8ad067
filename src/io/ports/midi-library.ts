/** The library below, as its package describes itself; only its types, so that nothing is loaded. */
export type MidiLibrary = Pick<typeof import('@julusian/midi'), 'Input' | 'Output'>;
