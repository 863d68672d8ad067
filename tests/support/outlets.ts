import {
  createMpe,
  createMts,
  createMultichannel,
  type MpeOptions,
  type MultichannelOptions,
  type Outlet,
  PLAIN_CHANNELS,
} from '../../src/core/outlet/index.js';
import { SynthModel } from './synth-model.js';

/** An open outlet and its receiver; `sent` runs something and returns what that sent. */
export interface OpenOutlet {
  readonly synth: SynthModel;
  readonly outlet: Outlet;
  readonly sent: (run: () => void) => number[][];
}

/** An MPE outlet, by default with the whole lower zone. */
export function openMpe(options: Partial<MpeOptions> = {}, synth = new SynthModel()): OpenOutlet {
  const defaults = { zone: 'lower', members: 15, rangeSemitones: 48, releaseHoldMs: 500 } as const;
  return open(createMpe({ ...defaults, ...options, sink: synth }), synth);
}

/** A multichannel outlet, by default with all channels but that of percussion. */
export function openMultichannel(
  options: Partial<MultichannelOptions> = {},
  synth = new SynthModel(),
): OpenOutlet {
  const defaults = { channels: PLAIN_CHANNELS, rangeSemitones: 2, releaseHoldMs: 500 };
  return open(createMultichannel({ ...defaults, ...options, sink: synth }), synth);
}

/** An outlet of tuning messages, by default with one channel for all parts. */
export function openMts(channelOf: (part: number) => number = () => 0): OpenOutlet {
  const synth = new SynthModel();
  return open(createMts({ device: 0x7f, program: 0, channelOf, sink: synth }), synth);
}

function open(outlet: Outlet, synth: SynthModel): OpenOutlet {
  outlet.open();
  return { synth, outlet, sent: (run) => synth.during(run) };
}
