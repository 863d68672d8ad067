export { listMidiFiles } from './list-midi-files.js';
export { readInput } from './read-input.js';
export { watchForChanges } from './watch-file.js';
export { writeWhole } from './write-whole.js';
