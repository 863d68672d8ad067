import type { Page } from 'playwright-core';
import { RATE } from './pitch.js';

/** What a page has sent to the loudspeakers, and when it was clicked or a key went down, in seconds of it. */
export interface Recording {
  /** `RATE` of them a second. */
  readonly samples: Float32Array;
  readonly pressed: readonly number[];
  /** From when to when a busy computer recorded nothing. */
  readonly gaps: readonly (readonly [number, number])[];
}

/** Keeps every block of samples that passes. It runs in the audio thread. */
const PROCESSOR = `registerProcessor('recorder', class extends AudioWorkletProcessor {
  process([[left]]) {
    // Without a voice there is no input.
    this.port.postMessage({ at: currentFrame, samples: left ? left.slice() : new Float32Array(128) });
    return true;
  }
});`;

/**
 * From the next page load on, records what the page sounds. The page needs a context that bypasses its policy, since the
 * recorder is a script of another place.
 */
export async function recordSound(page: Page): Promise<void> {
  await page.addInitScript(
    ([processor, rate]) => {
      const blocks: { at: number; samples: Float32Array }[] = [];
      const pressed: number[] = [];
      const contexts: AudioContext[] = [];
      const made = new Map<BaseAudioContext, Promise<AudioWorkletNode>>();
      const address = URL.createObjectURL(new Blob([processor], { type: 'text/javascript' }));
      const connect = AudioNode.prototype.connect as (this: AudioNode, to: AudioNode) => AudioNode;
      const make = async (context: AudioContext) => {
        contexts.push(context);
        await context.audioWorklet.addModule(address);
        const node = new AudioWorkletNode(context, 'recorder', {
          channelCount: 1,
          channelCountMode: 'explicit',
          numberOfOutputs: 0,
        });
        node.port.onmessage = ({ data }) => blocks.push(data);
        return node;
      };
      const record = (node: AudioNode) => {
        const context = node.context as AudioContext;
        const recorder = made.get(context) ?? make(context);
        made.set(context, recorder);
        void recorder.then((one) => connect.apply(node, [one]));
      };
      Object.assign(AudioNode.prototype, {
        connect(this: AudioNode, ...args: unknown[]): unknown {
          if (args[0] === this.context.destination) record(this);
          return Reflect.apply(connect, this, args);
        },
      });
      const Context = globalThis.AudioContext;
      globalThis.AudioContext = class extends Context {
        constructor(options?: AudioContextOptions) {
          super({ ...options, sampleRate: rate });
        }
      };
      const mark = () => pressed.push(contexts[0]?.currentTime ?? 0);
      addEventListener('click', mark, true);
      addEventListener('keydown', mark, true);
      Object.assign(globalThis, { recorded: { blocks, pressed } });
    },
    [PROCESSOR, RATE] as const,
  );
}

/** What was recorded so far; what was before the recorder was ready is silent. */
export async function readRecording(page: Page): Promise<Recording> {
  const { text, pressed, gaps } = await page.evaluate((rate) => {
    const { blocks, pressed: marks } = (
      globalThis as unknown as {
        recorded: {
          blocks: { at: number; samples: Float32Array }[];
          pressed: number[];
        };
      }
    ).recorded;
    const last = blocks.at(-1);
    const all = new Float32Array(last === undefined ? 0 : last.at + last.samples.length);
    const gaps: [number, number][] = [];
    let next = blocks[0]?.at ?? 0;
    for (const { at, samples } of blocks) {
      if (at !== next) gaps.push([next / rate, at / rate]);
      next = at + samples.length;
      all.set(samples, at);
    }
    const bytes = new Uint8Array(all.buffer);
    let binary = '';
    for (let i = 0; i < bytes.length; i += 8192)
      binary += String.fromCharCode(...bytes.subarray(i, i + 8192));
    return { text: btoa(binary), pressed: [...marks], gaps };
  }, RATE);
  const bytes = Buffer.from(text, 'base64');
  return { samples: new Float32Array(new Uint8Array(bytes).buffer), pressed, gaps };
}

/** How many seconds were recorded so far. */
export function readSeconds(page: Page): Promise<number> {
  return page.evaluate((rate) => {
    const { blocks } = (globalThis as unknown as { recorded: { blocks: { at: number }[] } }).recorded;
    return (blocks.at(-1)?.at ?? 0) / rate;
  }, RATE);
}
