/**
 * Moves labels apart so that no two are closer than `gap`, none leaves the space, and each stays as near as possible to
 * its wanted place, in the same order.
 *
 * @param wanted wanted places, in any order
 * @returns actual places, in the same order
 * @example spread([10, 12, 50], 10, 0, 100)  // [6, 16, 50]
 */
export function spread(wanted: readonly number[], gap: number, least: number, most: number): number[] {
  const order = wanted.map((_, i) => i).sort((a, b) => wanted[a] - wanted[b] || a - b);
  const room = order.length > 1 ? (most - least) / (order.length - 1) : Infinity;
  const apart = Math.min(gap, room);
  // Runs of touching labels, each centred on the mean of its wanted places.
  const runs: { members: number[]; start: number }[] = [];
  const startOf = (members: number[]) => {
    const mean = members.reduce((sum, at, k) => sum + wanted[at] - k * apart, 0) / members.length;
    return Math.max(least, Math.min(most - (members.length - 1) * apart, mean));
  };
  for (const at of order) {
    let run = { members: [at], start: startOf([at]) };
    for (let last = runs.at(-1); last !== undefined; last = runs.at(-1)) {
      if (last.start + last.members.length * apart <= run.start + 1e-9) break;
      runs.pop();
      const members = [...last.members, ...run.members];
      run = { members, start: startOf(members) };
    }
    runs.push(run);
  }
  const placed = new Array<number>(wanted.length);
  for (const { members, start } of runs)
    members.forEach((at, k) => {
      placed[at] = start + k * apart;
    });
  return placed;
}
