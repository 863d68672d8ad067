import { CC, CONTROL_CHANGE, type MidiSink, NON_REGISTERED, RPN, toLsb, toMsb } from '../midi/index.js';

/**
 * Chooses the parameter that data entry will change: both bytes each time, as the standard asks.
 *
 * @param channel   0..15
 * @param parameter a registered parameter's number, or another's with {@link NON_REGISTERED} set
 * @see MIDI 1.0 Detailed Specification 4.2.1, Registered and Non-Registered Parameter Numbers
 * @example selectParameter(sink, 0, RPN.bendRange);  // sink.sent === ['B0 65 00', 'B0 64 00']
 */
export function selectParameter(sink: MidiSink, channel: number, parameter: number): void {
  const registered = parameter < NON_REGISTERED;
  const status = CONTROL_CHANGE | channel;
  sink.channel(status, registered ? CC.rpnMsb : CC.nrpnMsb, toMsb(parameter));
  sink.channel(status, registered ? CC.rpnLsb : CC.nrpnLsb, toLsb(parameter));
}

/**
 * Gives a channel its bend range by RPN 0, and closes with the null parameter so that stray data entry can't undo it.
 *
 * @param channel   0..15
 * @param semitones 0..127, whole: MPE advises whole semitones
 * @see MIDI 1.0 Detailed Specification 4.2.1, Pitch Bend Sensitivity: data entry MSB semitones, LSB cents
 * @example
 * sendBendRange(sink, 1, 48);
 * sink.sent  // ['B1 65 00', 'B1 64 00', 'B1 06 30', 'B1 26 00', 'B1 65 7F', 'B1 64 7F']
 */
export function sendBendRange(sink: MidiSink, channel: number, semitones: number): void {
  const status = CONTROL_CHANGE | channel;
  selectParameter(sink, channel, RPN.bendRange);
  sink.channel(status, CC.dataEntry, semitones);
  sink.channel(status, CC.dataEntryLsb, 0);
  selectParameter(sink, channel, RPN.none);
}

/**
 * Makes a manager channel the manager of an MPE zone by the MPE Configuration Message, and closes with the null
 * parameter. The receiver stops the notes of the channels concerned and sets ranges of 2 and 48 semitones.
 *
 * @param manager 0 for the lower zone, 15 for the upper
 * @param members how many member channels, 0..15; 0 switches the zone off
 * @see MPE 1.1, MPE Configuration Message (RPN 6)
 * @example
 * sendZone(sink, 0, 15);
 * sink.sent  // ['B0 65 00', 'B0 64 06', 'B0 06 0F', 'B0 65 7F', 'B0 64 7F']
 */
export function sendZone(sink: MidiSink, manager: number, members: number): void {
  selectParameter(sink, manager, RPN.mpeConfiguration);
  sink.channel(CONTROL_CHANGE | manager, CC.dataEntry, members);
  selectParameter(sink, manager, RPN.none);
}
