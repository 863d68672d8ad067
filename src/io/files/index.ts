export { listMidiFiles } from './list-midi-files.js';
export { readInput } from './read-input.js';
export { writeWhole } from './write-whole.js';
