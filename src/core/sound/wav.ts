import { type SampleFormat, toSampleBytes } from './samples.js';

/** What a WAV file holds. */
export interface WavShape {
  readonly rate: number;
  readonly format: SampleFormat;
  readonly frames: number;
}

const CHANNELS = 2;
/** Format tags of the fmt chunk. */
const PCM = 1;
const FLOAT = 3;
const EXTENSIBLE = 0xfffe;
/** Loudspeakers: front left and front right. */
const LEFT_AND_RIGHT = 3;
/** The sub-format's identifier after its tag. */
const SUBFORMAT = [0x00, 0x00, 0x00, 0x00, 0x10, 0x00, 0x80, 0x00, 0x00, 0xaa, 0x00, 0x38, 0x9b, 0x71];
/** A RIFF file stores its size in 32 bits, without the first eight bytes. */
const MOST_RIFF_BYTES = 2 ** 32 - 1;

/**
 * The longest sound a WAV file of this kind can hold, in whole frames.
 *
 * @param rate samples a second, above 0
 * @example toMostFrames(48_000, '16') / 48_000  // 22369.6, in seconds: over six hours
 */
export function toMostFrames(rate: number, format: SampleFormat): number {
  const room = MOST_RIFF_BYTES + 8 - formatWavHeader({ rate, format, frames: 0 }).length;
  return Math.floor(room / (CHANNELS * toSampleBytes(format)));
}

/**
 * The header of a stereo WAV file. 16 bits in the plain form; 24 bits in the extended form, which the standard requires
 * above 16; floating point with its `fact` chunk. The caller has to refuse a longer sound: its size doesn't fit in 32
 * bits.
 *
 * @param shape with at most {@link toMostFrames} frames
 * @see Microsoft, Multimedia Programming Interface and Data Specifications 1.0 (RIFF WAVE), 1991, and WAVEFORMATEXTENSIBLE
 * @example formatWavHeader({ rate: 48_000, format: '16', frames: 0 }).length  // 44
 */
export function formatWavHeader({ rate, format, frames }: WavShape): Uint8Array {
  const size = toSampleBytes(format);
  const frameBytes = CHANNELS * size;
  const tag = { '16': PCM, '24': EXTENSIBLE, float: FLOAT }[format];
  const fmt = [
    ...toBytes(tag, 2),
    ...toBytes(CHANNELS, 2),
    ...toBytes(rate, 4),
    ...toBytes(rate * frameBytes, 4),
    ...toBytes(frameBytes, 2),
    ...toBytes(8 * size, 2),
  ];
  if (format === 'float') fmt.push(...toBytes(0, 2));
  if (format === '24')
    fmt.push(
      ...toBytes(22, 2),
      ...toBytes(8 * size, 2),
      ...toBytes(LEFT_AND_RIGHT, 4),
      ...toBytes(PCM, 2),
      ...SUBFORMAT,
    );
  const head = [...toText('WAVE'), ...toChunk('fmt ', fmt)];
  if (format !== '16') head.push(...toChunk('fact', toBytes(frames, 4)));
  const dataBytes = frames * frameBytes;
  return Uint8Array.from([
    ...toText('RIFF'),
    ...toBytes(head.length + 8 + dataBytes, 4),
    ...head,
    ...toText('data'),
    ...toBytes(dataBytes, 4),
  ]);
}

function toChunk(id: string, data: readonly number[]): number[] {
  return [...toText(id), ...toBytes(data.length, 4), ...data];
}

function toText(text: string): number[] {
  return Array.from(text, (character) => character.charCodeAt(0));
}

/** Little end first. */
function toBytes(value: number, count: number): number[] {
  return Array.from({ length: count }, (_, i) => Math.floor(value / 2 ** (8 * i)) % 256);
}
