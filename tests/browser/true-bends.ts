import type { Page } from 'playwright-core';
import { expect } from 'vitest';

/** What the ladder says of its notes, in their order. */
export async function readLadder(page: Page): Promise<{ cents: number[]; bends: number[] }> {
  const toNumber = (text: string) => Number(text.replace('−', '-'));
  const lines = await page.locator('.ladder .detail tspan').allTextContents();
  return {
    cents: (await page.locator('.ladder .cents').allTextContents()).map(toNumber),
    bends: lines.flatMap((line) => /^bend (.*)$/.exec(line)?.[1] ?? []).map(toNumber),
  };
}

/** The bends that are shown come to the cents that are shown, at 48 semitones. */
export async function expectTrueBends(page: Page): Promise<void> {
  const { cents, bends } = await readLadder(page);
  expect(bends).toHaveLength(cents.length);
  expect(bends.some((bend) => bend !== 0)).toBe(true);
  // Half a step of the bend, and half of the last figure of the cents.
  for (const [i, bend] of bends.entries())
    expect(Math.abs((bend * 4800) / 8192 - cents[i])).toBeLessThan(0.35);
}
