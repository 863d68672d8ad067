/**
 * Channels as people count them, runs drawn together.
 * @example formatChannels([0, 1, 2, 8])  // 'channels 1 to 3, 9'
 */
export function formatChannels(channels: readonly number[]): string {
  const runs: [first: number, last: number][] = [];
  for (const channel of [...channels].sort((a, b) => a - b)) {
    const run = runs.at(-1);
    if (run !== undefined && run[1] === channel - 1) run[1] = channel;
    else runs.push([channel, channel]);
  }
  const names = runs.map(([first, last]) => {
    if (first === last) return `${first + 1}`;
    return last === first + 1 ? `${first + 1}, ${last + 1}` : `${first + 1} to ${last + 1}`;
  });
  return `${channels.length === 1 ? 'channel' : 'channels'} ${names.join(', ')}`;
}
