/** Cents with their sign, to a tenth; a true minus sign. @example formatCents(-21.506)  // '−21.5 c' */
export function formatCents(cents: number): string {
  return `${formatSigned(cents)} c`;
}

/** The bare number of {@link formatCents}. @example formatSigned(1.955)  // '+2.0' */
export function formatSigned(cents: number): string {
  const size = Math.abs(cents).toFixed(1);
  if (size === '0.0') return size;
  return `${cents < 0 ? '−' : '+'}${size}`;
}

/** A distance in cents, which has no sign. @example formatSize(-21.506)  // '21.5 c' */
export function formatSize(cents: number): string {
  return `${Math.abs(cents).toFixed(1)} c`;
}

/** A distance from home. @example formatFromHome(-7.26)  // '7.3 c below home' */
export function formatFromHome(cents: number): string {
  const size = formatSize(cents);
  return size === '0.0 c' ? 'at home' : `${size} ${cents < 0 ? 'below' : 'above'} home`;
}

/** A drift, as a place. @example formatFromStart(-43.01)  // '43.0 c lower than it began' */
export function formatFromStart(cents: number): string {
  const size = formatSize(cents);
  return size === '0.0 c' ? 'where it began' : `${size} ${cents < 0 ? 'lower' : 'higher'} than it began`;
}

/** A number of things. @example count(3, 'note')  // '3 notes' */
export function count(number: number, thing: string, things = `${thing}s`): string {
  return `${number} ${number === 1 ? thing : things}`;
}

/**
 * A time or a length.
 * @example formatSeconds(2.5, 3)   // '2.500 s'
 * @example formatSeconds(75.25, 1) // '1 min 15.3 s'
 */
export function formatSeconds(seconds: number, digits: number): string {
  const rounded = Number(seconds.toFixed(digits));
  if (rounded < 60) return `${rounded.toFixed(digits)} s`;
  const minutes = Math.floor(rounded / 60);
  // A whole library needs no seconds.
  if (minutes >= 600) return `${Math.floor(minutes / 60)} h ${minutes % 60} min`;
  return `${minutes} min ${(rounded - 60 * minutes).toFixed(digits)} s`;
}

/**
 * A time as a clock shows it.
 * @example formatClock(75_250, 1)  // '1:15.3'
 * @example formatClock(75_000, 0)  // '1:15'
 */
export function formatClock(ms: number, digits: 0 | 1): string {
  const unit = 10 ** digits;
  // Whole seconds count once they have passed.
  const ticks = digits === 0 ? Math.floor(ms / 1000) : Math.round((ms * unit) / 1000);
  const seconds = ((ticks % (60 * unit)) / unit).toFixed(digits);
  return `${Math.floor(ticks / (60 * unit))}:${seconds.padStart(digits === 0 ? 2 : 4, '0')}`;
}

/**
 * Whole numbers as runs of neighbours.
 * @param numbers in rising order: 1, 4, 5, 6 and 9 are the runs 1 to 1, 4 to 6 and 9 to 9
 */
function toRuns(numbers: readonly number[]): [first: number, last: number][] {
  const runs: [first: number, last: number][] = [];
  for (const number of numbers) {
    const run = runs.at(-1);
    if (run !== undefined && run[1] === number - 1) run[1] = number;
    else runs.push([number, number]);
  }
  return runs;
}

/** Numbers in a row, neighbours as a range. @example formatNumbers([1, 4, 5, 6, 9])  // '1, 4–6, 9' */
export function formatNumbers(numbers: readonly number[]): string {
  return toRuns(numbers)
    .map(([first, last]) => (first === last ? `${first}` : `${first}–${last}`))
    .join(', ');
}

/** Channels as people count them. @example formatChannels([0, 1, 2, 8])  // 'channels 1 to 3, 9' */
export function formatChannels(channels: readonly number[]): string {
  const names = toRuns(channels.toSorted((a, b) => a - b)).map(([first, last]) => {
    if (first === last) return `${first + 1}`;
    return `${first + 1}${last === first + 1 ? ',' : ' to'} ${last + 1}`;
  });
  return `${channels.length === 1 ? 'channel' : 'channels'} ${names.join(', ')}`;
}
