/**
 * Repeatable random numbers: a linear congruential generator with the constants of Numerical Recipes.
 * @returns a function that gives a whole number from 0 up to but without `below`
 */
export function createRandom(seed: number): (below: number) => number {
  let state = seed >>> 0;
  return (below) => {
    state = (Math.imul(state, 1664525) + 1013904223) >>> 0;
    return Math.floor((state / 2 ** 32) * below);
  };
}
