export { CC, HOLDING_PEDALS, liftsAllKeys, RESET_TO_ZERO, RPN } from './controllers.js';
export { LiveParser, type LiveParserCounters } from './live-parser.js';
export { type MetreMap, type MetrePosition, toMetreMap } from './metre-map.js';
export { MpeZones, type Zones } from './mpe-zones.js';
export { PackedTrack, type PackedVisitor } from './packed-track.js';
export { NON_REGISTERED, ParameterChoice } from './parameter-choice.js';
export { parseMidiFile } from './smf-read.js';
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
export { formatEvents, formatMidiFile } from './smf-write.js';
export type { MidiSink } from './status.js';
export * from './status.js';
export { BEND_CENTRE, FOURTEEN_BIT_MAX, toFourteenBit, toLsb, toMsb } from './status.js';
export { type TempoMap, toTempoMap } from './tempo-map.js';
export { toWireMessage } from './wire-message.js';
