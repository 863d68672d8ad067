import type { NoteFact } from '../../core/protocol/index.js';

/** Where the bend stands that leaves a key in its place. */
const BEND_CENTRE = 8192;

/**
 * How a note is carried to a synth, line by line: its channel, as people count them, and its bend away from the middle,
 * where it has one. None where it goes to no channel.
 *
 * @example toChannelLines({ channel: 1, bend: 8171 })  // ['ch 2', 'bend −21']
 */
export function toChannelLines({ channel, bend }: Pick<NoteFact, 'channel' | 'bend'>): string[] {
  if (channel === null) return [];
  const lines = [`ch ${channel + 1}`];
  if (bend === null) return lines;
  const away = bend - BEND_CENTRE;
  return [...lines, `bend ${away < 0 ? '−' : away > 0 ? '+' : ''}${Math.abs(away)}`];
}
