export type { MidiSink } from './sink.js';
