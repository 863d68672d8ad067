/** MIDI to sound: the receiver's channels, the voices at exact pitch, and the bytes of a WAV file. */

export { type BankListener, ChannelBank } from './channel-bank.js';
export { Ensemble, type Player } from './ensemble.js';
export { type SampleFormat, SampleWriter, toSampleBytes } from './samples.js';
export { formatWavHeader, toMostFrames } from './wav.js';
