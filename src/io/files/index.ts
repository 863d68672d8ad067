export { GrowingFile, type OpenFile, type OpenNew } from './growing-file.js';
export { GrowingMidiFile } from './growing-midi-file.js';
export { listMidiFiles } from './list-midi-files.js';
export { readPrivate, writePrivate } from './private-file.js';
export { readInput } from './read-input.js';
export { removeLeftovers } from './temporary-files.js';
export { WatchedFiles } from './watched-files.js';
export { WholeFile, writeWhole } from './whole-file.js';
