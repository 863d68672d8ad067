import { CC, CHANNEL_PRESSURE, CONTROL_CHANGE, type MidiSink, PROGRAM_CHANGE, RPN } from '../midi/index.js';
import {
  type ChannelState,
  type ParameterValue,
  PEDALS,
  toDefault,
  toParameterDefault,
  UNSET,
} from './channel-state.js';
import type { ControllerChannel } from './member.js';
import { selectParameter } from './parameters.js';

// Everything here sends and records at once, so that `channel.state` is always what the receiver was sent.

/**
 * Sends a controller 0..119.
 * @example sendController(sink, createControllerChannel(0), CC.sustain, 127);  // sink.sent === ['B0 40 7F']
 */
export function sendController(
  sink: MidiSink,
  channel: ControllerChannel,
  controller: number,
  value: number,
): void {
  sink.channel(CONTROL_CHANGE | channel.channel, controller, value);
  channel.state.setController(controller, value);
}

/**
 * Sends a program change 0..127.
 * @example sendProgram(sink, createControllerChannel(0), 19);  // sink.sent === ['C0 13']
 */
export function sendProgram(sink: MidiSink, channel: ControllerChannel, program: number): void {
  sink.channel(PROGRAM_CHANGE | channel.channel, program, 0);
  channel.state.setProgram(program);
}

/**
 * Sends a channel pressure 0..127.
 * @example sendPressure(sink, createControllerChannel(0), 64);  // sink.sent === ['D0 40']
 */
export function sendPressure(sink: MidiSink, channel: ControllerChannel, pressure: number): void {
  sink.channel(CHANNEL_PRESSURE | channel.channel, pressure, 0);
  channel.state.pressure = pressure;
}

/**
 * Selects a parameter unless it is selected already.
 * @example sendSelection(sink, createControllerChannel(0), RPN.none);  // sink.sent === []: as on a fresh channel
 */
export function sendSelection(sink: MidiSink, channel: ControllerChannel, parameter: number): void {
  if (channel.state.selected === parameter) return;
  selectParameter(sink, channel.channel, parameter);
  channel.state.selected = parameter;
}

/**
 * Sends data entry for a parameter, selecting it first if another was.
 *
 * @param controller CC 6 or 38, or an increment or decrement (96, 97), whose effect is unknown and not stored
 * @example
 * sendParameter(sink, createControllerChannel(0), RPN.fineTuning, CC.dataEntry, 64);
 * sink.sent  // ['B0 65 00', 'B0 64 01', 'B0 06 40']
 */
export function sendParameter(
  sink: MidiSink,
  channel: ControllerChannel,
  parameter: number,
  controller: number,
  value: number,
): void {
  sendSelection(sink, channel, parameter);
  sink.channel(CONTROL_CHANGE | channel.channel, controller, value);
  if (controller === CC.dataEntry || controller === CC.dataEntryLsb) {
    channel.state.setParameter(parameter, controller, value);
  }
}

/**
 * Sets a channel to what a part has set, sending only what differs: program with its bank first, then controllers,
 * pressure and parameters. What the part never set gets the receiver's default.
 *
 * @example bringTo(sink, createControllerChannel(0), new ChannelState());  // sink.sent === []: the same is there already
 */
export function bringTo(sink: MidiSink, channel: ControllerChannel, wanted: ChannelState): void {
  bringProgram(sink, channel, wanted);
  for (let controller = 0; controller < wanted.controllers.length; controller++) {
    const target = toTarget(
      wanted.controllers[controller],
      channel.state.controllers[controller],
      controller,
    );
    if (target !== UNSET) sendController(sink, channel, controller, target);
  }
  const pressure = toTarget(wanted.pressure, channel.state.pressure, PRESSURE);
  if (pressure !== UNSET) sendPressure(sink, channel, pressure);
  bringParameters(sink, channel, wanted);
}

/**
 * Sets pressure and CC 74 to a finger's, sending only what differs. What the finger never set gets the default.
 *
 * @param pressure 0..127, or `UNSET`
 * @param timbre   0..127, or `UNSET`
 * @example bringExpression(sink, createControllerChannel(1), 40, 70);  // sink.sent === ['D1 28', 'B1 4A 46']
 */
export function bringExpression(
  sink: MidiSink,
  channel: ControllerChannel,
  pressure: number,
  timbre: number,
): void {
  const { state } = channel;
  const pressureTo = toTarget(pressure, state.pressure, PRESSURE);
  if (pressureTo !== UNSET) sendPressure(sink, channel, pressureTo);
  const timbreTo = toTarget(timbre, state.controllers[CC.timbre], CC.timbre);
  if (timbreTo !== UNSET) sendController(sink, channel, CC.timbre, timbreTo);
}

/**
 * Whether {@link bringExpression} would send nothing.
 * @example hasExpression(createControllerChannel(1), UNSET, UNSET)  // true: as on a fresh channel
 */
export function hasExpression({ state }: ControllerChannel, pressure: number, timbre: number): boolean {
  const isPressed = toTarget(pressure, state.pressure, PRESSURE) === UNSET;
  return isPressed && toTarget(timbre, state.controllers[CC.timbre], CC.timbre) === UNSET;
}

/**
 * Lifts every pedal of a channel, whatever its known state.
 *
 * @example liftPedals(sink, createControllerChannel(0));  // sink.sent === ['B0 40 00', 'B0 42 00', 'B0 43 00', 'B0 45 00']
 */
export function liftPedals(sink: MidiSink, channel: ControllerChannel): void {
  for (const pedal of PEDALS) sendController(sink, channel, pedal, 0);
}

/** Stands for pressure where controllers are numbered; its default is 0 too. */
const PRESSURE = 128;

/** The value to send, or UNSET if the present one is right. */
function toTarget(wanted: number, present: number, controller: number): number {
  const target = wanted === UNSET && present !== UNSET ? toDefault(controller) : wanted;
  return target === present ? UNSET : target;
}

function bringProgram(sink: MidiSink, channel: ControllerChannel, wanted: ChannelState): void {
  const { state } = channel;
  const program = wanted.program === UNSET && state.program !== UNSET ? 0 : wanted.program;
  if (program === UNSET) return;
  const bank = toTarget(wanted.programBank, state.programBank, CC.bank);
  const bankLsb = toTarget(wanted.programBankLsb, state.programBankLsb, CC.bankLsb);
  if (program === state.program && bank === UNSET && bankLsb === UNSET) return;
  // Receivers differ in whether half a bank select clears the other half: send both. But leave a bank that was never
  // chosen: it may have been set on the receiver's panel.
  if (hasBank(wanted) || hasBank(state)) {
    sendController(sink, channel, CC.bank, Math.max(0, wanted.programBank));
    sendController(sink, channel, CC.bankLsb, Math.max(0, wanted.programBankLsb));
  }
  sendProgram(sink, channel, program);
}

/** Whether a bank was ever chosen, for a program or for one to come. */
function hasBank(state: ChannelState): boolean {
  return state.controllers[CC.bank] !== UNSET || state.controllers[CC.bankLsb] !== UNSET;
}

function bringParameters(sink: MidiSink, channel: ControllerChannel, wanted: ChannelState): void {
  const { parameters } = channel.state;
  for (const [parameter, value] of wanted.parameters) bringParameter(sink, channel, parameter, value);
  for (const parameter of parameters.keys()) {
    const fallback = wanted.parameters.has(parameter) ? undefined : toParameterDefault(parameter);
    if (fallback !== undefined) bringParameter(sink, channel, parameter, fallback);
  }
  sendSelection(sink, channel, RPN.none);
}

function bringParameter(
  sink: MidiSink,
  channel: ControllerChannel,
  parameter: number,
  value: ParameterValue,
): void {
  const present = channel.state.parameters.get(parameter);
  const sameMsb = value.msb === UNSET || present?.msb === value.msb;
  const sameLsb = value.lsb === UNSET || present?.lsb === value.lsb;
  if (sameMsb && sameLsb) return;
  if (value.msb !== UNSET) sendParameter(sink, channel, parameter, CC.dataEntry, value.msb);
  if (value.lsb !== UNSET) sendParameter(sink, channel, parameter, CC.dataEntryLsb, value.lsb);
}
