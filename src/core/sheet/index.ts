/** A passage as a lecture sheet: chords on staves with what decided each note, the path on the lattice, the comma found. */
export type { BarMoment, PassageSource, SheetColumn, SheetNote } from './columns.js';
export { drawParts, drawSheet, type SheetHeads, type SheetParts } from './draw-sheet.js';
export { type FoundWords, toFoundWords } from './found-words.js';
export { type Passage, toPassage } from './passage.js';
export { SHEET_WIDTH } from './pen.js';
export { toSystems } from './systems.js';
