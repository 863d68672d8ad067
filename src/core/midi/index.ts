export type { MidiSink } from './sink.js';
export type {
  ChannelEvent,
  Division,
  MetaEvent,
  MidiFile,
  SysexEvent,
  Track,
  TrackEvent,
  UnknownChunk,
} from './smf-types.js';
export { META, tracksOf } from './smf-types.js';
