/** The path from a played message to what the outlets send: message, tuner event, decision, message. */
export { decodeEvent, encodeEvent, ROW_LENGTH, type RowEvent } from './event-rows.js';
export { Line, type LineListener } from './line.js';
export { isKeyMessage, toTunerEvents } from './message-events.js';
