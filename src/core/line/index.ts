/** The path from a played message to what the outlets send: message, tuner event, decision, message. */
export { decodeEvent, encodeEvent, ROW_LENGTH, type RowEvent } from './event-rows.js';
export { isKeyMessage, Line, type LineListener, toTunerEvents } from './line.js';
