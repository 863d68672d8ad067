/**
 * Controller numbers: the first data byte of a control change (Bn).
 *
 * @see MIDI 1.0 Detailed Specification 4.2.1, Table III Controller Numbers, and the section beside each
 * @example CC.sustain  // 64
 */
export const CC = {
  bank: 0, //               Bank Select, MSB
  modulation: 1, //         Modulation Wheel
  dataEntry: 6, //          Data Entry, MSB: of the registered parameter last chosen
  volume: 7, //             Channel Volume
  pan: 10, //               Pan
  expression: 11, //        Expression
  bankLsb: 32, //           Bank Select, LSB
  dataEntryLsb: 38, //      Data Entry, LSB
  sustain: 64, //           Damper Pedal: 0..63 off, 64..127 on
  portamento: 65, //        Portamento On/Off: the same halves
  sostenuto: 66, //         Sostenuto: the same halves
  soft: 67, //              Soft Pedal: the same halves
  legato: 68, //            Legato Footswitch: the same halves
  hold2: 69, //             Hold 2: the same halves
  timbre: 74, //            Sound Controller 5; MPE 1.1: the third dimension of a note
  nrpnLsb: 98, //           Non-Registered Parameter Number, LSB
  nrpnMsb: 99, //           Non-Registered Parameter Number, MSB
  rpnLsb: 100, //           Registered Parameter Number, LSB
  rpnMsb: 101, //           Registered Parameter Number, MSB
  allSoundOff: 120, //      Channel Mode Messages, All Sound Off
  resetControllers: 121, // Channel Mode Messages, Reset All Controllers
  localControl: 122, //     Channel Mode Messages, Local Control
  allNotesOff: 123, //      Channel Mode Messages, All Notes Off
  omniOff: 124, //          Channel Mode Messages; 124..127 also mean all notes off
  omniOn: 125, //           Channel Mode Messages
  mono: 126, //             Channel Mode Messages
  poly: 127, //             Channel Mode Messages
} as const;

/** The pedals that hold notes whose keys are up. @example HOLDING_PEDALS.includes(CC.soft)  // false */
export const HOLDING_PEDALS: readonly number[] = [CC.sustain, CC.sostenuto, CC.hold2];

/**
 * What Reset All Controllers sets to 0, beside resetting expression and the bend.
 *
 * @see RP-015, Response to Reset All Controllers
 */
export const RESET_TO_ZERO: readonly number[] = [
  CC.modulation,
  CC.sustain,
  CC.portamento,
  CC.sostenuto,
  CC.soft,
  CC.legato,
  CC.hold2,
];

/**
 * Whether a mode message releases every key: All Notes Off, or one that includes it.
 *
 * @param controller 0..127; 123 to 127 do
 * @see MIDI 1.0 Detailed Specification 4.2.1, Channel Mode Messages: 124 to 127 act as 123 too
 * @example liftsAllKeys(CC.mono)  // true
 */
export function liftsAllKeys(controller: number): boolean {
  return controller >= CC.allNotesOff;
}

/**
 * Registered parameter numbers, as the 14-bit value whose MSB goes to CC 101 and LSB to CC 100.
 *
 * @see MIDI 1.0 Detailed Specification 4.2.1, Table IIIa Registered Parameter Numbers; MPE 1.1, MPE Configuration Message, for 6
 * @example RPN.none >> 7  // 127: B0 65 7F 64 7F closes the door behind a parameter change
 */
export const RPN = {
  bendRange: 0x0000, //        data entry MSB semitones, LSB cents
  fineTuning: 0x0001, //       14 bits, 0x2000 is no change, a step is 100/8192 cent
  coarseTuning: 0x0002, //     MSB only, 64 is no change, a step is a semitone
  tuningProgram: 0x0003, //    MIDI Tuning
  tuningBank: 0x0004, //       MIDI Tuning
  mpeConfiguration: 0x0006, // MSB: number of member channels 0..15
  none: 0x3fff, //             null: data entry has no effect until another is chosen
} as const;
