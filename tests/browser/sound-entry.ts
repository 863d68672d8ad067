import { toVoice } from '../../src/core/theory/index.js';
import { Instrument } from '../../src/page/sound/instrument.js';
import { createOutput } from '../../src/page/sound/output.js';

/** One thing the instrument is told, in seconds of the rendering. */
export type EventLine =
  | {
      readonly what: 'start';
      readonly id: number;
      readonly cents: number;
      readonly at: number;
      readonly velocity?: number;
    }
  | {
      readonly what: 'glide';
      readonly id: number;
      readonly cents: number;
      readonly at: number;
      readonly seconds: number;
    }
  | { readonly what: 'crossfade'; readonly id: number; readonly cents: number; readonly at: number }
  | { readonly what: 'release'; readonly id: number; readonly at: number };

/** Samples a second. */
const RATE = 48_000;

/** Renders what the page's instrument sounds when it is told these things, faster than it sounds. */
async function render(
  voice: string,
  told: readonly EventLine[],
  seconds: number,
  limited: boolean,
): Promise<number[]> {
  const context = new OfflineAudioContext(1, RATE * seconds, RATE);
  const output = limited ? createOutput(context).input : context.destination;
  const instrument = new Instrument(context, output, toVoice(voice));
  for (const one of told) {
    if (one.what === 'start') instrument.start({ velocity: 100, ...one }, one.at);
    if (one.what === 'glide') instrument.glide(one.id, one.cents, one.at, one.seconds);
    if (one.what === 'crossfade') instrument.crossfade(one.id, one.cents, one.at);
    if (one.what === 'release') instrument.release(one.id, one.at);
  }
  const buffer = await context.startRendering();
  return Array.from(buffer.getChannelData(0));
}

Object.assign(globalThis, { renderSound: render });
