import { readFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import type { Page } from 'playwright-core';

const AXE = readFileSync(fileURLToPath(import.meta.resolve('axe-core/axe.min.js')), 'utf8');
/** Faults that axe finds on the page as it stands, and how many of its rules it looked at. */
export async function findFaults(page: Page): Promise<{ faults: string[]; passed: number }> {
  // Run in the page's own world: a strict policy lets no script tag in.
  await page.evaluate(AXE);
  return page.evaluate(async () => {
    const { axe } = globalThis as unknown as {
      axe: {
        run: () => Promise<{
          passes: unknown[];
          violations: { id: string; impact: string; nodes: { html: string }[] }[];
        }>;
      };
    };
    const { passes, violations } = await axe.run();
    const faults = violations.map(
      ({ id, impact, nodes }) =>
        `${impact} ${id}: ${nodes.map((node) => node.html.slice(0, 120)).join(' | ')}`,
    );
    return { faults, passed: passes.length };
  });
}
